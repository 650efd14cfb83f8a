//! The command line: what can be asked. Parsing does no work.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};

use crate::exit::MEANINGS;

/// Does this part fit this bike? Ask before you order a part or strip a frame.
///
/// Give a page about the bike with the little that is known, and a page with what is to change.
/// For every joint the answer is one of four: fits, fits with something, measure this first, or
/// does not fit and why.
#[derive(Debug, Parser)]
#[command(name = "compat", version, after_help = MEANINGS, after_long_help = MEANINGS, max_term_width = 100)]
pub struct Args {
    #[command(flatten)]
    pub shared: Shared,
    #[command(subcommand)]
    pub command: Command,
}

/// What every command takes.
#[derive(Debug, ClapArgs)]
pub struct Shared {
    /// Form of the answer
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Folder whose files add to the catalogue or take the place of its own
    #[arg(long, global = true, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
    /// Print nothing but faults; the exit code is the answer
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// No colour (also: NO_COLOR=1)
    #[arg(long, global = true)]
    pub no_color: bool,
}

/// Text for people or JSON for programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

/// The questions.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Does every joint fit with this swap set on this bike, and if not, what would make it fit?
    Check(Check),
    /// What must I measure before I order, in which order, and how?
    Measure(Measure),
    /// Which lines of this stock fit this bike, and where?
    Audit(Audit),
    /// Which cheapest set of parts makes everything fit, and what forces each purchase?
    Plan(Plan),
    /// I measured this: which sizes and standards could it be, and what should I measure next?
    Identify(Identify),
    /// What does a family, code, kind of part, dimension or name mean, and who says so?
    Explain(Explain),
    /// The catalogue: families, sizes, limits, tables, adaptors and sources
    Tables(Tables),
    /// A commented page to fill in: a bike, a swap set or a stock list
    New(New),
}

/// `compat check`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat check bike.toml                     is the bike as described in order?
  compat check bike.toml dropper.toml        would this dropper fit?
  compat check bike.toml swap.toml --stock bin.csv
  compat check bike.toml --set frame.seat_tube_bore=31.6 swap.toml
  compat check bike.toml --swap seatpost.diameter=30.9   a question in one line")]
pub struct Check {
    /// The bike (`-` reads standard input)
    #[arg(value_name = "BIKE")]
    pub bike: PathBuf,
    /// The swap set: slot by slot the new part (`-` reads standard input)
    #[arg(value_name = "SWAP")]
    pub swap: Option<PathBuf>,
    /// The parts bin that ids in the swap set are looked up in
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,
    /// A dimension of a new part, or SLOT=ID for a line of the stock: a swap set without a file, or
    /// more of the one given
    #[arg(long = "swap", value_name = "SLOT.DIMENSION=VALUE")]
    pub change: Vec<String>,
    #[command(flatten)]
    pub known: KnownArgs,
    /// Both numbers, the difference, the limit, who says so, and where each was written
    #[arg(long, short)]
    pub verbose: bool,
    /// List the joints that simply fit, too
    #[arg(long, short)]
    pub all: bool,
}

/// `compat measure`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat measure bike.toml dropper.toml                  what decides, and the readings that would do
  compat measure bike.toml dropper.toml --sheet          a page to print and write on
  compat measure bike.toml dropper.toml --ask            one question after the other
  compat measure bike.toml dropper.toml --ask --answers job.txt
                                                         the same; every answer is kept at once")]
pub struct Measure {
    /// The bike (`-` reads standard input)
    #[arg(value_name = "BIKE")]
    pub bike: PathBuf,
    /// The swap set: slot by slot the new part (`-` reads standard input)
    #[arg(value_name = "SWAP")]
    pub swap: Option<PathBuf>,
    /// The parts bin that ids in the swap set are looked up in
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,
    /// A dimension of a new part, or SLOT=ID for a line of the stock: a swap set without a file, or
    /// more of the one given
    #[arg(long = "swap", value_name = "SLOT.DIMENSION=VALUE")]
    pub change: Vec<String>,
    #[command(flatten)]
    pub known: KnownArgs,
    /// A page to print, with room to write
    #[arg(long, conflicts_with = "ask")]
    pub sheet: bool,
    /// Ask one thing after the other; an empty line leaves a thing unknown
    #[arg(long)]
    pub ask: bool,
}

/// What is known beside the files, and how strictly the catalogue is taken.
#[derive(Clone, Debug, ClapArgs)]
pub struct KnownArgs {
    /// A dimension of the new part or of the bike, in the place of what its file says;
    /// FAMILY/CODE=yes for what was looked at
    #[arg(long, value_name = "SLOT.DIMENSION=VALUE")]
    pub set: Vec<String>,
    /// A file of such lines, one answer each; `measure --ask` adds to it
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// Take figures from memory as unknown
    #[arg(long)]
    pub strict: bool,
}

/// `compat audit`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat audit bin.csv bike.toml
  compat audit bin.csv bike.toml --slot seatpost
  compat audit bin.csv trail.toml road.toml city.toml --usable")]
pub struct Audit {
    /// The parts bin, CSV or TOML (`-` reads standard input as CSV)
    #[arg(value_name = "STOCK")]
    pub stock: PathBuf,
    /// The bikes
    #[arg(value_name = "BIKE", required = true)]
    pub bikes: Vec<PathBuf>,
    /// Only what could go to this slot
    #[arg(long, value_name = "SLOT")]
    pub slot: Option<String>,
    /// Leave out what does not fit
    #[arg(long)]
    pub usable: bool,
    #[command(flatten)]
    pub known: KnownArgs,
}

/// `compat plan`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat plan bike.toml wishes.toml --stock bin.csv
  compat plan bike.toml wishes.toml --stock bin.csv --prices shop.csv --next 2
  compat plan bike.toml wishes.toml --stock bin.csv --allow-unmeasured")]
pub struct Plan {
    /// The bike (`-` reads standard input)
    #[arg(value_name = "BIKE")]
    pub bike: PathBuf,
    /// What is wished: dimensions by slot, a budget, what to keep, change and remove (`-` reads
    /// standard input)
    #[arg(value_name = "WISHES")]
    pub wishes: PathBuf,
    /// The parts bin: what is in it costs nothing
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,
    /// What can be bought: a list like that of stock, with a price on each line
    #[arg(long, value_name = "FILE")]
    pub prices: Option<PathBuf>,
    /// The shop's own table of what work takes and costs
    #[arg(long, value_name = "FILE")]
    pub labour: Option<PathBuf>,
    /// The most it may cost, in the place of what the wishes say
    #[arg(long, value_name = "MONEY", allow_hyphen_values = true)]
    pub budget: Option<String>,
    /// Parts of the bin cost what their line says
    #[arg(long)]
    pub worth: bool,
    /// Let joints through that must be measured first; the fewer, the better the plan
    #[arg(long)]
    pub allow_unmeasured: bool,
    /// Write the problem as data, for any other solver
    #[arg(long, value_name = "FILE")]
    pub export_problem: Option<PathBuf>,
    /// How many of the next best plans to show
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub next: usize,
    /// Stop after so many steps of the search
    #[arg(long, value_name = "N", default_value_t = 10_000_000)]
    pub steps: u64,
    /// Stop after so many seconds
    #[arg(long, value_name = "N", default_value_t = 60)]
    pub seconds: u64,
    #[command(flatten)]
    pub known: KnownArgs,
}

/// `compat identify`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat identify bearing bore=15.02 outside=27.98 width=7
  compat identify crankset.arms=5 crankset.bolt_gap=76.3
  compat identify thread outside=11.9 pitch='24 tpi'
  compat identify hub 'spacing=132 by tape'           read with another tool
  compat identify seatpost 'diameter=27.05 .. 27.2'   read in two directions
  compat identify bearing -                           lines of standard input")]
pub struct Identify {
    /// Readings, DIMENSION=VALUE behind the kind of part or PART.DIMENSION=VALUE each; a value may end
    /// in `by TOOL` (`-` reads lines of them from standard input)
    #[arg(value_name = "READING", required = true)]
    pub readings: Vec<String>,
    /// Standard error (one sigma) of a reading by calliper; without it that of `catalog/tools.toml`,
    /// 0.05 mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub calliper_error: Option<String>,
    /// Who says so, and how far off in standard errors
    #[arg(long, short)]
    pub verbose: bool,
    /// List every size that is near enough
    #[arg(long, short)]
    pub all: bool,
}

/// `compat explain`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat explain seatpost_fit                a family: its rule, limits, sources, examples
  compat explain seatpost_fit/too-thin       one code
  compat explain seatpost                    a kind of part and its dimensions
  compat explain frame.seat_tube_bore        one dimension and how it is measured
  compat explain freehub                     a list of names")]
pub struct Explain {
    /// A family, family/code, kind, slot, slot.dimension or list; nothing lists them all
    #[arg(value_name = "TOPIC")]
    pub topic: Option<String>,
}

/// `compat tables`
#[derive(Debug, ClapArgs)]
pub struct Tables {
    /// The family; nothing gives the overview
    #[arg(value_name = "FAMILY")]
    pub family: Option<String>,
}

/// `compat new`
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  compat new bike bike.toml
  compat new bike --like trail bike.toml     only what such a bike has, in the order of the bench
  compat new swap > swap.toml
  compat new wishes wishes.toml
  compat new schema-bike bike.schema.json")]
pub struct New {
    /// What to write
    #[arg(value_enum, value_name = "PAGE")]
    pub page: Page,
    /// For a bike: only the parts such a bike has, in the order in which one gets at them; nothing
    /// is taken as known
    #[arg(long, value_name = "KIND")]
    pub like: Option<String>,
    /// Where to; standard output if left out. A file that exists is never overwritten
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
}

/// The pages that can be begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Page {
    /// A bike
    Bike,
    /// A swap set
    Swap,
    /// A stock list, as CSV; with prices it is a price list too
    Stock,
    /// Wishes for a plan
    Wishes,
    /// A shop's table of what work takes and costs
    Labour,
    /// The JSON Schema of a bike file
    SchemaBike,
    /// The JSON Schema of a swap set
    SchemaSwap,
    /// The JSON Schema of wishes
    SchemaWishes,
    /// The JSON Schema of a table of labour
    SchemaLabour,
}
