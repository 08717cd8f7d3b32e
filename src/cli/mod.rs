//! The command line: what can be typed, and a file a command.

mod backups;
mod bench;
mod captions;
mod coach;
mod demo;
mod keep;
mod mail;
mod out;
mod owner;
mod rank;
mod read;
mod rotation;
mod serve;
mod tailor;
mod tending;

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
    /// Look around in an invented practice
    Demo(demo::DemoArgs),
    /// Coaches' accounts
    Coach {
        #[command(subcommand)]
        command: coach::Command,
    },
    /// End every sign-in and token; passwords and passkeys stay. Also after a restore, which brings those of back then
    SignOutEverybody {
        #[command(flatten)]
        config: Config,
    },
    /// Send one mail with the settings of serve, to see that they work
    Mail(mail::MailArgs),
    /// Show what is understood of a write-up
    Read(read::ReadArgs),
    /// Write a checked backup of everything; the practice may be running
    Backup(backups::BackupArgs),
    /// Put a backup in place; what was there is set aside
    Restore(keep::RestoreArgs),
    /// Say whether the data folder is whole and sound
    Check(keep::DataFolder),
    /// What one member does of a session, with a reason for each change
    Tailor(tailor::Ask),
    /// Check a WebVTT file, or make one of typed chapters
    Captions(captions::CaptionsArgs),
    /// Rank the results of one part
    Rank(rank::Command),
    /// Measure how long a board takes with a crowd and a history
    #[command(hide = true)]
    Bench(bench::BenchArgs),
}

/// Runs the command that was typed.
#[must_use]
pub fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::Serve { config } => run(serve::serve(config)),
        Command::Demo(args) => run(demo::run(args)),
        Command::Coach { command } => run(coach::run(command)),
        Command::SignOutEverybody { config } => run(coach::sign_out_everybody(config)),
        Command::Mail(args) => run(mail::run(args)),
        Command::Read(args) => read::run(&args),
        Command::Backup(args) => run(backups::backup(args)),
        Command::Restore(args) => run(keep::restore(args)),
        Command::Check(args) => run(keep::check(args)),
        Command::Tailor(ask) => tailor::run(&ask),
        Command::Captions(args) => captions::run(&args),
        Command::Rank(command) => rank::run(&command),
        Command::Bench(args) => run(bench::run(args)),
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
