//! `compat`: does this part fit this bike?

mod args;
mod commands;
mod exit;
mod input;
mod render;

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};
use exit::Exit;

fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => {
            // Help and version are answers; a wrong call is not.
            let asked = !error.use_stderr();
            let _ = error.print();
            return if asked {
                Exit::Fits.into()
            } else {
                Exit::CouldNotRun.into()
            };
        }
    };
    let shared = &args.shared;
    let done = match &args.command {
        Command::Check(wanted) => commands::check::run(wanted, shared),
        Command::Measure(wanted) => commands::measure::run(wanted, shared),
        Command::Audit(wanted) => commands::audit::run(wanted, shared),
        Command::Plan(wanted) => commands::plan::run(wanted, shared),
        Command::Identify(wanted) => commands::identify::run(wanted, shared),
        Command::Explain(wanted) => commands::explain::run(wanted, shared),
        Command::Tables(wanted) => commands::tables::run(wanted, shared),
        Command::New(wanted) => commands::new::run(wanted, shared),
    };
    match done {
        Ok(answer) => {
            let mut failed = !put(
                &mut anstream::AutoStream::new(std::io::stderr().lock(), choice(shared)),
                &answer.aside,
            );
            if !shared.quiet {
                failed |= !put(
                    &mut anstream::AutoStream::new(std::io::stdout().lock(), choice(shared)),
                    &answer.text,
                );
            }
            if failed {
                Exit::CouldNotRun.into()
            } else {
                answer.exit.into()
            }
        }
        Err(trouble) => {
            let text = render::trouble::show(&trouble);
            put(
                &mut anstream::AutoStream::new(std::io::stderr().lock(), choice(shared)),
                &text,
            );
            Exit::CouldNotRun.into()
        }
    }
}

fn choice(shared: &args::Shared) -> anstream::ColorChoice {
    if shared.no_color {
        anstream::ColorChoice::Never
    } else {
        anstream::ColorChoice::Auto
    }
}

/// Writes a text; a reader that went away is no failure.
fn put(out: &mut impl Write, text: &str) -> bool {
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => true,
        Err(error) => error.kind() == std::io::ErrorKind::BrokenPipe,
    }
}
