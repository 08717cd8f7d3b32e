//! The movement library: to look things up in, and for the coach to add to.

pub mod edit;
mod form;
pub mod look;
pub mod shelf;

use crate::store::{Store, StoreError};
use crate::training::movement::{BadMovement, Library, Movement};

/// The library as shipped with the practice's own movements on top.
///
/// # Errors
/// Only the store's own. An own movement that no longer fits beside the shipped ones (a name taken by a newer Dowel) is
/// left out and logged, never deleted: the practice still opens.
async fn library_of(store: &Store) -> Result<Library, StoreError> {
    let mut own = store.own_movements().await?;
    loop {
        match Library::shipped().with(own.clone()) {
            Ok(library) => return Ok(library),
            Err(BadMovement { movement, why }) => {
                tracing::warn!(movement, why, "an own movement does not fit the library and is left out");
                match own.iter().position(|m| m.name == movement) {
                    Some(at) => drop(own.remove(at)),
                    None => drop(own.pop()),
                }
                if own.is_empty() {
                    return Ok(Library::shipped().clone());
                }
            }
        }
    }
}

/// Where a movement's page is.
#[must_use]
pub fn address(name: &str) -> String {
    format!("/movements/{}", crate::web::address::piece(name))
}

/// How much skill it asks, in words.
#[must_use]
pub fn skill_words(skill: u8) -> &'static str {
    match skill {
        0 | 1 => "anyone can begin with it",
        2 => "a little practice",
        3 => "some weeks of practice",
        4 => "months of practice",
        _ => "years of practice, and a coach's eye",
    }
}

/// One way to do it, in words: `bar and rack`.
#[must_use]
pub fn ways(movement: &Movement) -> Vec<String> {
    let words =
        |set: &Vec<_>| set.iter().map(|i: &crate::training::movement::Implement| i.label()).collect::<Vec<_>>().join(" and ");
    movement.equipment.iter().map(words).collect()
}
