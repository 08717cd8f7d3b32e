//! The library in memory, as the practice has it.
//!
//! # Design
//! It is read again whenever a row of `movements` was written since, by whoever: by this program, whose answer may have got
//! lost on its way, or by another. Nobody puts a library in place that they made up from what they once read, so no save can
//! take back another's.

use super::library_of;
use crate::store::changes::Mark;
use crate::store::{Store, StoreError};
use crate::training::movement::Library;
use std::sync::{Arc, PoisonError, RwLock};
use tokio::sync::{Mutex, OwnedMutexGuard};

/// The library that is kept. Clones share it.
#[derive(Clone, Debug)]
pub struct Shelf {
    kept: Arc<RwLock<(Arc<Library>, Mark)>>,
    turn: Arc<Mutex<()>>,
}

/// Nobody else of this program changes the library meanwhile.
#[derive(Debug)]
pub struct Turn {
    _held: OwnedMutexGuard<()>,
}

async fn read(store: &Store) -> Result<(Arc<Library>, Mark), StoreError> {
    // before reading
    let mark = store.changes().mark();
    Ok((Arc::new(library_of(store).await?), mark))
}

impl Shelf {
    /// As it is now.
    ///
    /// # Errors
    /// Only the store's own.
    pub async fn open(store: &Store) -> Result<Self, StoreError> {
        let kept = read(store).await?;
        Ok(Self { kept: Arc::new(RwLock::new(kept)), turn: Arc::default() })
    }

    /// The library as it was last read.
    #[must_use]
    pub fn library(&self) -> Arc<Library> {
        self.kept.read().unwrap_or_else(PoisonError::into_inner).0.clone()
    }

    fn is_true(&self, store: &Store) -> bool {
        let mark = self.kept.read().unwrap_or_else(PoisonError::into_inner).1;
        store.changes().same_movements(mark)
    }

    /// Reads it again where a movement was written since.
    ///
    /// # Errors
    /// Only the store's own; then the library stays as it was.
    pub async fn renew(&self, store: &Store) -> Result<(), StoreError> {
        if self.is_true(store) { Ok(()) } else { self.take_turn(store).await.map(drop) }
    }

    /// A turn at changing it, which begins with the library as it is now.
    ///
    /// # Errors
    /// Only the store's own.
    pub async fn take_turn(&self, store: &Store) -> Result<Turn, StoreError> {
        let turn = Turn { _held: self.turn.clone().lock_owned().await };
        if !self.is_true(store) {
            let kept = read(store).await?;
            *self.kept.write().unwrap_or_else(PoisonError::into_inner) = kept;
        }
        Ok(turn)
    }
}
