//! Pages. `routes.rs` is the whole URL map; then a file a page family.

pub mod access;
pub mod account;
pub mod address;
pub mod api;
pub mod around;
pub mod at_hand;
pub mod board;
pub mod challenges;
pub mod chart;
pub mod client;
pub mod coach;
pub mod data;
pub mod error;
pub mod etag;
pub mod forms;
pub mod frame;
pub mod guests;
pub mod headers;
pub mod held;
pub mod home;
pub mod limits;
pub mod links;
pub mod live;
pub mod maxes;
pub mod media;
pub mod member;
pub mod metrics;
pub mod movements;
pub mod offline;
pub mod passwords;
pub mod patient;
pub mod questions;
pub mod review;
pub mod rod;
pub mod rods;
pub mod routes;
pub mod server;
pub mod trail;

use crate::clock::Clock;
use crate::config::Config;
use crate::mail::Post;
use crate::store::{Store, StoreError};
use crate::training::movement::Library;
use anyhow::Context;
use std::path::Path;
use std::sync::Arc;

/// Everything a handler can reach.
#[derive(Clone)]
pub struct App {
    /// settings
    pub config: Arc<Config>,
    /// what time it is
    pub clock: Clock,
    /// the practice's data
    pub store: Store,
    /// one-time links
    pub links: links::Links,
    /// hashing, off the async threads
    pub passwords: passwords::Passwords,
    /// wrong sign-ins are slowed down
    pub limits: limits::Limits,
    /// mail, where there is a server for it
    pub post: Option<Post>,
    /// links that were asked for by mail are few
    pub mailed: limits::Limits,
    /// passkeys: what was asked and not answered yet
    pub challenges: challenges::Challenges,
    /// wrong tokens are slowed down
    pub wrong_tokens: limits::Limits,
    /// boards that are kept while nothing changes
    pub boards: board::kept::Boards,
    /// pages that are sent again while nothing on them changed
    pub at_hand: at_hand::AtHand,
    /// what members' sessions are read with
    pub homes: member::own::Homes,
    /// answers that stay open to say that something changed
    pub live: live::Live,
    /// what is counted
    pub metrics: Arc<metrics::Metrics>,
    library: movements::shelf::Shelf,
}

impl App {
    /// Opens the data folder, and makes it where there is none.
    ///
    /// # Errors
    /// A folder or file that cannot be used, in plain words.
    pub async fn open(config: Config, clock: Clock) -> anyhow::Result<Self> {
        make_private_folder(&config.data).with_context(|| format!("cannot use the folder {}", config.data.display()))?;
        let store = Store::open(&config.data.join("dowel.db")).await?;
        let links = links::Links::open(&config)?;
        let library = movements::shelf::Shelf::open(&store).await?;
        Ok(Self {
            passwords: passwords::Passwords::new(),
            limits: limits::Limits::default(),
            post: Post::open(&config.mail, &config.public_address())?,
            mailed: limits::Limits::within(limits::MAIL_WINDOW),
            challenges: challenges::Challenges::at(&config.public_address()),
            wrong_tokens: limits::Limits::within(limits::TOKEN_WINDOW),
            boards: board::kept::Boards::default(),
            at_hand: at_hand::AtHand::default(),
            homes: member::own::Homes::default(),
            live: live::Live::default(),
            metrics: Arc::default(),
            library,
            config: Arc::new(config),
            clock,
            store,
            links,
        })
    }

    /// The movement library as the practice has it now.
    #[must_use]
    pub fn library(&self) -> Arc<Library> {
        self.library.library()
    }

    /// Looks whether another process wrote into the file, and whether a movement was written since the library was read.
    ///
    /// # Errors
    /// Only the store's own.
    pub async fn look_around(&self) -> Result<(), StoreError> {
        self.store.look_for_others().await?;
        self.library.renew(&self.store).await
    }

    /// A turn at changing the library; it is as it is now, and nobody else of this program changes it meanwhile.
    ///
    /// # Errors
    /// Only the store's own.
    pub async fn change_library(&self) -> Result<movements::shelf::Turn, StoreError> {
        self.library.take_turn(&self.store).await
    }
}

/// Makes the folder where there is none; it is for this user alone.
///
/// # Errors
/// The file system's own.
pub(crate) fn make_private_folder(path: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(path)?;
    #[cfg(unix)]
    std::fs::set_permissions(path, std::os::unix::fs::PermissionsExt::from_mode(0o700))?;
    Ok(())
}
