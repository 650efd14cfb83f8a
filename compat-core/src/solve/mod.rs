//! Judging: what the bike tells, what the swap set comes to, what would mend it.

mod audit;
mod case;
mod check;
mod hints;
mod identify;
mod infer;
mod judge;
mod known;
mod measure;
mod mended;
mod order;
pub mod plan;
mod refused;
mod remedy;
mod renewed;
mod single;
mod sizes;
mod turns;
mod unjudged;

pub use audit::{Audit, Auditor, Place as AuditPlace};
pub use check::{Check, Disagreement, Finding, Options, Question, check, grounds, judged};
pub use identify::{Candidate, Finer, Found, Identified, Next, Off, identify};
pub use infer::{Conflict, Inference, Told, infer, infer_over, tells};
pub use judge::{Judgement, Run, Setting, judge, quick, quick_or_never};
pub use known::Known;
pub use measure::{Answer, Asked, Asking, Measure, Proof, look_name, measure};
pub use order::{Order, orders};
pub use remedy::{Change, Insert, Remedies};
pub use renewed::Renewed;
pub use single::{Single, Step};
pub use sizes::{Size, sizes};
pub use turns::Band;
pub use unjudged::Unjudged;
