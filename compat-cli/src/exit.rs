//! The exit codes, in one place.

use std::process::ExitCode;

use compat_core::Verdict;

/// What the program says to whoever called it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// It fits, with or without something; or the question was answered.
    Fits = 0,
    /// Something does not fit.
    DoesNotFit = 1,
    /// It could not run: bad input or usage.
    CouldNotRun = 2,
    /// Nothing clashes, but something must be measured first.
    MeasureFirst = 3,
    /// A search was stopped at a limit before it was done.
    Stopped = 4,
}

/// The codes with their meanings, for help and tests.
pub const MEANINGS: &str = "\
Exit codes:
  0  fits, with or without something (audit: it ran; identify: it could be something)
  1  something does not fit (plan: there is no plan; identify: it is nothing that is known)
  2  could not run: bad input or usage; nothing was written
  3  nothing clashes, but something must be measured first
  4  plan: stopped at a limit; what was found so far was given";

impl From<Verdict> for Exit {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Fits | Verdict::FitsWith => Exit::Fits,
            Verdict::MeasureFirst => Exit::MeasureFirst,
            Verdict::DoesNotFit => Exit::DoesNotFit,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit as u8)
    }
}
