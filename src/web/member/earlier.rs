//! Every version of a result before the one that stands, for its owner and the coach: with when and who.

use super::day::logged::{beside, score_words};
use super::log::version_words;
use crate::store::people::{Person, Role};
use crate::store::results::{ResultEdit, ResultRow};
use crate::web::App;
use crate::web::error::Error;
use crate::web::questions::when;
use std::cmp::Reverse;
use time::OffsetDateTime;

/// A state before the one that stands; see `templates/member/earlier.html`.
pub(in crate::web) struct Earlier {
    pub words: String,
    pub version: String,
    /// what became of it, when and by whom
    pub how: String,
    /// why, where a coach changed it
    pub reason: String,
    /// where it stands by itself, with its own earlier states
    pub page: Option<String>,
    at: OffsetDateTime,
}

/// Whoever reads the versions of a result.
struct Eyes<'a> {
    reader: &'a Person,
    owner: &'a str,
    now: OffsetDateTime,
}

impl Eyes<'_> {
    fn when(&self, at: OffsetDateTime) -> String {
        when(self.reader, at, self.now)
    }

    fn owner(&self) -> String {
        if self.reader.role == Role::Coach { self.owner.to_owned() } else { "you".to_owned() }
    }

    fn words(&self, state: &ResultRow) -> String {
        let beside: String = beside(state, self.reader.units).into_iter().map(|b| format!(", {b}")).collect();
        score_words(state, self.reader.units) + &beside
    }

    /// A state that another took the place of, or that came too late to stand.
    fn edit(&self, e: ResultEdit, result: &ResultRow) -> Earlier {
        let mine = e.edited_by == Some(self.reader.id);
        let by = if mine { "you".to_owned() } else { e.by.unwrap_or_else(|| "the coach".to_owned()) };
        let at = self.when(e.edited_at);
        let how = match e.taken_back_at {
            _ if e.late => format!("sent by {by}, came {at}, after a later change; it never stood"),
            Some(taken) => format!("taken back by {}, {}; logged again by {by}, {at}", self.owner(), self.when(taken)),
            None => format!("changed by {by}, {at}"),
        };
        let before = ResultRow { logged: e.before, ..result.clone() };
        Earlier {
            words: self.words(&before),
            version: version_words(&before.version_done, before.given.as_ref()),
            how,
            reason: e.reason,
            page: None,
            at: e.edited_at,
        }
    }

    /// What was logged for the same part and taken back.
    fn taken_back(&self, other: &ResultRow) -> Earlier {
        let at = other.withdrawn_at.unwrap_or(other.updated_at);
        let page = format!("/results/{}", other.id);
        Earlier {
            words: self.words(other),
            version: version_words(&other.version_done, other.given.as_ref()),
            how: format!("logged {}, taken back by {}, {}", self.when(other.created_at), self.owner(), self.when(at)),
            reason: String::new(),
            page: Some(if self.reader.role == Role::Coach { page + "/correct" } else { page }),
            at,
        }
    }
}

/// Every state before the one that stands, newest first, in the words of whoever reads it; what was taken back and logged anew
/// too.
pub(in crate::web) async fn earlier(app: &App, result: &ResultRow, reader: &Person) -> Result<Vec<Earlier>, Error> {
    let eyes = Eyes { reader, owner: &result.full_name, now: app.clock.now() };
    let edits = app.store.edits_of(result.id).await?;
    let mut all: Vec<Earlier> = edits.into_iter().map(|e| eyes.edit(e, result)).collect();
    all.extend(app.store.taken_back_beside(result).await?.iter().map(|other| eyes.taken_back(other)));
    // edits come newest first, and stay so where two came at once
    all.sort_by_key(|earlier| Reverse(earlier.at));
    Ok(all)
}
