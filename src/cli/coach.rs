//! `dowel coach`: makes a coach's account and prints the link with which they set a password, and ends one.
//!
//! The commands may be used while the practice is served, as containers do: SQLite lets two programs write in turns. Only
//! the tables are not brought up to date beside a running program: what is of another version is refused then.

use super::out;
use super::serve;
use crate::clock::Clock;
use crate::config::Config;
use crate::store::people::{NewPerson, Role, Units};
use crate::store::trail::Kind;
use crate::store::{StoreError, upgrade};
use crate::training::calendar::Zone;
use crate::web::{App, trail};
use anyhow::{Context, bail};
use clap::Subcommand;
use std::fs::File;

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
    /// End somebody's access: password, passkeys, sign-ins, tokens and open links; what they wrote stays
    Remove {
        /// What they type to sign in
        #[arg(long)]
        sign_in: String,
        #[command(flatten)]
        config: Config,
    },
    /// Print a new one-time link for somebody who forgot their password
    Link {
        /// What they type to sign in
        #[arg(long)]
        sign_in: String,
        /// They lost their passkeys: forget them all, and let the password sign them in until a new one is made
        #[arg(long)]
        lost_passkey: bool,
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
    let (app, _lock, person) = match command {
        Command::Remove { sign_in, config } => return remove(&sign_in, config).await,
        Command::Add { name, sign_in, zone, assistant, config } => {
            let zone = Zone::named(&zone).with_context(|| format!("{zone:?} is no time zone; try Europe/Lisbon"))?;
            let (app, lock) = open(config).await?;
            let new = NewPerson { role: Role::Coach, sign_in, name, password_hash: None, zone, units: Units::Kg };
            let added = app.store.add_coach(&new, assistant, now).await;
            let id = added.map_err(|e| match e {
                StoreError::Stale => anyhow::anyhow!("the first one must be a coach; add an assistant afterwards"),
                e => anyhow::Error::from(e).context(format!("cannot add {}", new.sign_in)),
            })?;
            (app, lock, id)
        }
        Command::Link { sign_in, lost_passkey, config } => {
            let (app, lock) = open(config).await?;
            let found = app.store.credentials(&sign_in).await?;
            let (id, _) = found.with_context(|| format!("nobody signs in as {sign_in:?}"))?;
            if lost_passkey {
                app.store.forget_passkeys(id).await?;
            }
            (app, lock, id)
        }
    };
    let link = app.store.password_link(person, None, now).await?;
    out::say("Open this link once, within two days, and set a password:")?;
    out::say(app.links.password_address(link))?;
    app.store.close().await;
    Ok(())
}

async fn remove(sign_in: &str, config: Config) -> anyhow::Result<()> {
    let (app, _lock) = open(config).await?;
    let coaches = app.store.coaches().await?;
    let found = coaches.iter().find(|c| c.sign_in.eq_ignore_ascii_case(sign_in.trim()));
    let coach = found.with_context(|| format!("no coach or assistant signs in as {sign_in:?}"))?;
    app.store.end_coach(coach.id, Clock::System.now()).await.map_err(|e| match e {
        StoreError::Stale => anyhow::anyhow!("{} is the last coach; add another one first", coach.name),
        e => e.into(),
    })?;
    trail::add(&app, None, "ended the access of", Some((Kind::Person, coach.id.0)), "on the machine").await;
    app.store.close().await;
    out::say(format_args!("{} can no longer sign in. What they wrote stays.", coach.name))
}

/// `dowel sign-out-everybody`: every sign-in and token ends. For a doubt, and after a restore, which brings those of back then.
///
/// # Errors
/// A data folder that cannot be used.
pub async fn sign_out_everybody(config: Config) -> anyhow::Result<()> {
    let (app, _lock) = open(config).await?;
    app.store.end_everybodys_sign_ins().await?;
    trail::add(&app, None, "signed everybody out", None, "on the machine").await;
    app.store.close().await;
    out::say("Everybody is signed out, and no token works any more. Passwords and passkeys are as they were.")
}

/// Opens the practice; the lock is held where nobody else holds it.
async fn open(config: Config) -> anyhow::Result<(App, Option<File>)> {
    let lock = serve::lock(&config.data).ok();
    if lock.is_none() && !upgrade::is_current(&config.data.join("dowel.db")).await? {
        bail!("{} is used by a running dowel of another version: stop it first", config.data.display());
    }
    Ok((App::open(config, Clock::System).await?, lock))
}
