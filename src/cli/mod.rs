//! The command line: what can be typed, and a file a command.

mod coach;
mod serve;

use crate::config::Config;
use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Daily training, written by a coach and delivered to members at home.
#[derive(Parser)]
#[command(name = "dowel", version, about)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Run a practice
    Serve {
        #[command(flatten)]
        config: Config,
    },
    /// Coaches' accounts
    Coach {
        #[command(subcommand)]
        command: coach::Command,
    },
}

/// Runs the command that was typed.
#[must_use]
pub fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::Serve { config } => run(serve::serve(config)),
        Command::Coach { command } => run(coach::run(command)),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("dowel: {e:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(work: impl Future<Output = anyhow::Result<()>>) -> anyhow::Result<()> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(work)
}
