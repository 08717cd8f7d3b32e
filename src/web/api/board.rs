//! The leaderboard of a part, made by the very rows of its page.

use super::access::Reads;
use super::problem::{Refusal, Refused};
use crate::store::ids::SessionId;
use crate::web::App;
use crate::web::board::part::{RowView, View, version_for};
use crate::web::board::standing::{self, Cut, Which};
use axum::Json;
use axum::extract::{Path, State};
use axum_extra::extract::WithRejection;
use serde::Serialize;
use std::collections::HashMap;
use utoipa::ToSchema;

/// A row of a board. Notes, effort and pain are never in it.
#[derive(Serialize, ToSchema)]
pub struct BoardRowOut {
    /// row of the result
    id: i64,
    /// 1, 2, 2, 4; null where it has none
    place: Option<u32>,
    /// the name that this reader sees
    who: String,
    /// in words, in the reader's unit
    score: String,
    /// version and load, in words
    how: String,
    /// the place in one sentence
    why: String,
    /// the reader's own
    you: bool,
}

/// One version's results, best first.
#[derive(Serialize, ToSchema)]
pub struct BoardTableOut {
    /// `full`, or the name of the option; empty where all stand in one list
    name: String,
    /// best first
    rows: Vec<BoardRowOut>,
}

/// A leaderboard.
#[derive(Serialize, ToSchema)]
pub struct LeaderboardOut {
    /// by version, in the coach's order
    tables: Vec<BoardTableOut>,
    /// listed without a place
    listed: Vec<BoardRowOut>,
    /// waiting for an answer: one's own, or for coaches all
    held: Vec<BoardRowOut>,
    /// by which rules, in sentences
    rules: Vec<String>,
}

fn rows(list: Vec<RowView>) -> Vec<BoardRowOut> {
    let row =
        |r: RowView| BoardRowOut { id: r.id, place: r.place, who: r.who, score: r.score, how: r.how, why: r.why, you: r.you };
    list.into_iter().map(row).collect()
}

/// Who stands where on a part, and why.
///
/// # Errors
/// Somebody else's session; a part that it does not have.
#[utoipa::path(get, path = "/api/v1/sessions/{id}/parts/{part}/leaderboard", tag = "results", security(("token" = ["read"])),
    params(("id" = i64, Path), ("part" = usize, Path, description = "from 0")),
    responses((status = 200, body = LeaderboardOut), Refused))]
pub async fn show_leaderboard(
    State(app): State<App>,
    Reads(reader): Reads,
    WithRejection(Path((id, part)), _): WithRejection<Path<(i64, usize)>, Refusal>,
) -> Result<Json<LeaderboardOut>, Refusal> {
    let shown = version_for(&app, &reader, SessionId(id)).await?;
    let it = shown.session.parts.get(part).ok_or_else(Refusal::not_found)?;
    let standing = standing::standing(&app, &shown, part, Which::default(), &Cut::top(&reader, usize::MAX)).await?;
    let view = View { standing: &standing, nods: HashMap::new(), part: it, reader: &reader };
    let table = |t: &standing::Table| {
        let all: Vec<_> = t.rows.iter().map(|(_, row)| row.clone()).collect();
        BoardTableOut { name: t.name.clone(), rows: rows(view.rows(&t.name, &all)) }
    };
    Ok(Json(LeaderboardOut {
        tables: standing.tables.iter().map(table).collect(),
        listed: rows(view.rows("", &standing.listed)),
        held: rows(view.rows("", &standing.held)),
        rules: standing.policy.sentences_for(it.score, it.score_rule.as_deref()),
    }))
}
