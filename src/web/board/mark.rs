//! What is open about a result: for its owner and the coach alone.

use crate::store::boards::BoardRow;

/// What is open about a result.
pub(in crate::web) struct Mark {
    /// a few words
    pub word: &'static str,
    /// one sentence, where the row itself does not say it
    pub why: Option<String>,
}

/// A result without a score waits, and its row says for what; one with a score stands as it is, with a place or listed, and is
/// asked about.
pub(super) fn mark(r: &BoardRow) -> Option<Mark> {
    let doubt = r.doubt.clone()?;
    Some(match r.score {
        None => Mark { word: "waits for an answer", why: None },
        Some(_) => Mark { word: "asked about", why: Some(doubt) },
    })
}
