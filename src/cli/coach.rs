//! `dowel coach add`: makes a coach's account and prints the link with which they set a password.

use crate::clock::Clock;
use crate::config::Config;
use crate::store::people::{NewPerson, Role, Units};
use crate::training::calendar::Zone;
use crate::web::App;
use anyhow::Context;
use clap::Subcommand;

/// What can be done with coaches' accounts.
#[derive(Subcommand)]
pub enum Command {
    /// Make a coach's account; prints a one-time link to set a password
    Add {
        /// Name, as members see it
        #[arg(long)]
        name: String,
        /// What they will type to sign in: an e-mail address or a short name
        #[arg(long)]
        sign_in: String,
        /// Time zone, such as Europe/Lisbon
        #[arg(long, default_value = "UTC")]
        zone: String,
        /// Somebody who sees and answers, and changes nothing else
        #[arg(long)]
        assistant: bool,
        #[command(flatten)]
        config: Config,
    },
    /// Print a new one-time link for somebody who forgot their password
    Link {
        /// What they type to sign in
        #[arg(long)]
        sign_in: String,
        #[command(flatten)]
        config: Config,
    },
}

/// Runs it.
///
/// # Errors
/// A name that is taken or unknown, or a data folder that cannot be used.
pub async fn run(command: Command) -> anyhow::Result<()> {
    let now = Clock::System.now();
    let (app, person) = match command {
        Command::Add { name, sign_in, zone, assistant, config } => {
            let zone = Zone::named(&zone).with_context(|| format!("{zone:?} is no time zone; try Europe/Lisbon"))?;
            let app = App::open(config, Clock::System).await?;
            let new = NewPerson { role: Role::Coach, sign_in, name, password_hash: None, zone, units: Units::Kg };
            let id = app.store.add_person(&new, now).await.with_context(|| format!("cannot add {}", new.sign_in))?;
            if assistant {
                let first = "the first one must be a coach; add an assistant afterwards";
                app.store.set_assistant(id, true).await.context(first)?;
            }
            (app, id)
        }
        Command::Link { sign_in, config } => {
            let app = App::open(config, Clock::System).await?;
            let found = app.store.credentials(&sign_in).await?;
            let (id, _) = found.with_context(|| format!("nobody signs in as {sign_in:?}"))?;
            (app, id)
        }
    };
    let link = app.store.password_link(person, None, now).await?;
    println!("Open this link once, within two days, and set a password:");
    println!("{}", app.links.password_address(link));
    app.store.close().await;
    Ok(())
}
