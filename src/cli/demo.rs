//! `dowel demo`: an invented practice to look around in, in a folder of its own.

use super::out;
use super::serve;
use crate::clock::Clock;
use crate::config::Config;
use crate::demo::{self, Practice};
use crate::store::demo::Read;
use crate::training::movement::Library;
use crate::training::score::{self, MassUnit, ScoreRules};
use crate::training::writeup;
use crate::web::App;
use anyhow::ensure;
use clap::Args;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};

/// Everybody in the demo signs in with this.
const PASSWORD: &str = "look around";

/// The file that says a folder holds a demo.
const MARK: &str = "demo";

/// What `dowel demo` takes.
#[derive(Args)]
pub struct DemoArgs {
    /// Folder for the demo; it is filled when it is empty and kept when it is not
    #[arg(long, env = "DOWEL_DATA", default_value = "dowel-demo")]
    data: PathBuf,
    /// Address and port to listen on
    #[arg(long, env = "DOWEL_LISTEN", default_value = "127.0.0.1:8420")]
    listen: SocketAddr,
    /// Another seed makes other results
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Throw the demo away and make it anew, ending at today
    #[arg(long)]
    fresh: bool,
    /// What to log: error, warn, info, debug
    #[arg(long, env = "DOWEL_LOG", default_value = "warn")]
    log: String,
}

/// Fills the folder where it is empty, says how to sign in, and serves.
///
/// # Errors
/// A folder or an address that cannot be used.
pub async fn run(args: DemoArgs) -> anyhow::Result<()> {
    let config = Config { data: args.data.clone(), listen: args.listen, log: args.log.clone(), ..Config::default() };
    serve::start_log(&config);
    refuse_a_real_practice(&args.data)?;
    let lock = serve::lock(&args.data)?;
    if args.fresh {
        forget(&args.data)?;
    }
    let app = App::open(config, Clock::System).await?;
    let now = app.clock.now();
    let made = demo::practice(args.seed, now.date());
    if app.store.is_empty().await? {
        std::fs::write(args.data.join(MARK), "an invented practice; dowel demo --fresh makes it anew\n")?;
        let hash = app.passwords.hash(PASSWORD.to_owned()).await?;
        app.store.fill(&made, &read(&made), &hash, now).await?;
    }
    greet(&app, &made)?;
    serve::run(app, lock).await
}

/// A folder with data and without our mark is somebody's practice.
fn refuse_a_real_practice(data: &Path) -> anyhow::Result<()> {
    let real = data.join("dowel.db").exists() && !data.join(MARK).exists();
    ensure!(!real, "{} holds a real practice; give the demo a folder of its own with --data", data.display());
    Ok(())
}

/// Throws the demo's data away.
fn forget(data: &Path) -> anyhow::Result<()> {
    for name in ["dowel.db", "dowel.db-wal", "dowel.db-shm"] {
        match std::fs::remove_file(data.join(name)) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(e.into()),
            _ => {}
        }
    }
    Ok(())
}

/// Reads every write-up and every score, as they are read when typed.
fn read(made: &Practice) -> Read {
    let library = Library::shipped();
    let sessions: Vec<_> = made.sessions.iter().map(|s| writeup::read(&s.text, library)).collect();
    let score = |logged: &demo::Logged| {
        let part = sessions[logged.session].parts.get(logged.part)?;
        let member = &made.members[logged.member];
        let unit = if member.unit == demo::Unit::Lb { MassUnit::Lb } else { MassUnit::Kg };
        let mut rules = ScoreRules::of(part, library);
        rules.mass_unit = rules.mass_unit.or(Some(unit));
        rules.known_max_kg = part.lines.first().and_then(|l| member.profile.known_maxes_kg.get(&l.movement)).copied();
        score::read(part.score, &logged.text, &rules).ok()
    };
    let scores = made.results.iter().map(|logged| match score(logged) {
        Some(reading) if reading.held.is_none() => (serde_json::to_string(&reading.score).ok(), reading.doubt),
        Some(reading) => (None, reading.held.map(|q| q.text)),
        None => (None, None),
    });
    Read { scores: scores.collect(), sessions }
}

fn greet(app: &App, made: &Practice) -> anyhow::Result<()> {
    let coach = &made.coach.email;
    // somebody with a session today and lifts behind them; of those, the least at home has the most to see
    let today = app.clock.now().date();
    let rests = |m: &demo::Member| !made.sessions.iter().any(|s| s.date == today && m.groups.contains(&s.group));
    let weight = |text: &str| text.contains("kg") || text.contains("lb");
    let lifts = |n: usize| made.results.iter().filter(|r| r.member == n && weight(&r.text)).count() > 2;
    let seen = |(n, m): &(usize, &demo::Member)| (!lifts(*n), rests(m), m.profile.kit.len());
    let member = made.members.iter().enumerate().min_by_key(seen).map_or("", |(_, m)| m.email.as_str());
    out::say(format_args!("{}: {}", made.name, app.config.public_address()))?;
    out::say(format_args!("  as the coach:  {coach}"))?;
    out::say(format_args!("  as a member:   {member}   (or any of {} others)", made.members.len().saturating_sub(1)))?;
    out::say(format_args!("  password:      {PASSWORD}"))
}
