//! Another version of a part, written from the coverage page into the write-up: `or shorter: 3 rounds`.

use super::coverage::{self, Unwritten};
use super::place::{Place, SlotPath};
use super::reading;
use crate::store::StoreError;
use crate::training::movement::Library;
use crate::training::session::{Part, Session};
use crate::training::writeup;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

/// A version as typed, and which draft it is for.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct VersionForm {
    /// place of the part, from 0
    part: usize,
    /// one line of a write-up
    text: String,
    /// the draft that was looked at
    edit: i64,
}

const HINT: &str = "Write it as in the write-up: or shorter: 3 rounds, or a count: or shorter: 60.";

/// The last line of the write-up that belongs to a part, from 1.
fn last_line(part: &Part) -> Option<usize> {
    let lines = part.lines.iter().filter_map(|l| l.at);
    let options = part.options.iter().filter_map(|o| o.at);
    lines.chain(options).chain(part.said.iter().copied()).chain(part.at).map(|p| p.line).max()
}

/// `text` with `version` after the part's last line, where that reads as one more version of it; else why not.
fn with_version(text: &str, session: &Session, part: usize, version: &str, library: &Library) -> Result<String, String> {
    let before = session.parts.get(part).ok_or(HINT)?;
    let at = last_line(before).ok_or(HINT)?;
    let version = version.trim();
    if version.is_empty() || version.contains(['\n', '\r']) {
        return Err(HINT.to_owned());
    }
    let mut lines: Vec<&str> = text.lines().collect();
    lines.insert(at.min(lines.len()), version);
    let new = lines.join("\n") + "\n";
    let after = writeup::read(&new, library);
    let grown =
        after.parts.get(part).is_some_and(|p| p.options.len() == before.options.len() + 1 && p.lines.len() == before.lines.len());
    if let Some(problem) = after.problems.iter().find(|p| p.line == at + 1) {
        return Err(problem.text.clone());
    }
    if grown && after.parts.len() == session.parts.len() { Ok(new) } else { Err(HINT.to_owned()) }
}

/// `POST /groups/{id}/days/{date}/{slot}/versions`
///
/// # Errors
/// Nothing is written there. What does not read as another version comes back with the form.
pub async fn create_part_version(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(path): Path<SlotPath>,
    Form(form): Form<VersionForm>,
) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let stored = place.stored(&app).await?.ok_or(Error::NotFound)?;
    let library = app.library();
    let session = reading::session(&stored.draft, &stored.intents, &library);
    let new = with_version(&stored.draft, &session, form.part, &form.text, &library);
    let kept = match new {
        Ok(new) => match app.store.save_draft(place.group.id, place.day, place.slot, &new, form.edit, app.clock.now()).await {
            Err(StoreError::Stale) => Err("The write-up changed meanwhile: look at it again.".to_owned()),
            other => {
                other?;
                Ok(())
            }
        },
        Err(why) => Err(why),
    };
    match kept {
        Ok(()) => Ok(Redirect::to(&format!("{}/coverage?said=saved", place.address())).into_response()),
        Err(why) => {
            let unwritten = Unwritten { part: form.part, text: form.text, why };
            let page = coverage::page(&app, &coach, place, None, Some(unwritten)).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "Tide\n\nFor time, 5 rounds\n40 jumping jacks\n20 pull-ups\n\nCool-down\n60 s child's pose\n";

    fn write(version: &str) -> Result<String, String> {
        let library = Library::shipped();
        with_version(TEXT, &writeup::read(TEXT, library), 0, version, library)
    }

    #[test]
    fn a_version_stands_right_after_the_lines_of_its_part() {
        assert_eq!(write("or shorter: 3 rounds").unwrap(), TEXT.replace("pull-ups\n", "pull-ups\nor shorter: 3 rounds\n"));
    }

    #[test]
    fn what_is_no_other_version_is_not_written() {
        for bad in ["", "or shorter: 5 rounds", "10 burpees", "or hello", "or shorter: 3 rounds\nCool-down"] {
            assert!(write(bad).is_err(), "{bad}");
        }
    }
}
