//! Parts keep what stands on them when an edit moves them.
//!
//! # Design
//! A result names its version and the part of that version, and neither ever changes. Where it stands now is kept beside it, so
//! that a board is still one step in an index. Each version knows under which part of the newest one its own parts stand: what
//! was typed on an earlier version and arrives late finds its place by that.

use super::SessionId;
use crate::store::StoreError;
use crate::store::ids::VersionId;
use crate::store::writer::Pen;
use crate::training::same_part;
use crate::training::session::{Part, Session};
use std::collections::BTreeMap;

/// Parts that the newest version has no more are counted from here; no write-up has as many.
pub const GONE: usize = 1_000_000;
/// Added on the way, so that two parts that change places are never in one place.
const ON_THE_WAY: i64 = 1_000_000_000;

/// A version before the new one.
struct Earlier {
    id: VersionId,
    session: Session,
    stands: Vec<usize>,
}

/// For each part of a version the part of the newest one under which it stands, from its column.
pub(super) fn stands(list: &str, session: &Session) -> Result<Vec<usize>, StoreError> {
    let given: Vec<usize> = serde_json::from_str(list)?;
    Ok((0..session.parts.len()).map(|i| given.get(i).copied().unwrap_or(i)).collect())
}

/// Moves what stands on the parts of a session to where the version that is published now has them.
pub(super) async fn carry(tx: &mut Pen, id: SessionId, new: VersionId, after: &Session) -> Result<(), StoreError> {
    let earlier = versions_before(tx, id, new).await?;
    let moves = moves(&earlier, after);
    if moves.iter().all(|(from, to)| from == to) {
        return Ok(());
    }
    for version in earlier {
        let now: Vec<usize> = version.stands.iter().map(|s| moves.get(s).copied().unwrap_or(*s)).collect();
        sqlx::query("update session_versions set stands = $2 where id = $1")
            .bind(version.id)
            .bind(serde_json::to_string(&now)?)
            .execute(&mut *tx)
            .await?;
    }
    let moves = serde_json::to_string(&moves)?;
    for (table, column) in [("results", "stands"), ("wishes", "part"), ("part_policies", "part")] {
        let away = format!("update {table} set {column} = {column} + $2 where session_id = $1");
        sqlx::query(sqlx::AssertSqlSafe(away)).bind(id).bind(ON_THE_WAY).execute(&mut *tx).await?;
        let there = format!(
            "update {table} set {column} = coalesce($3 ->> ('$.\"' || ({column} - $2) || '\"'), {column} - $2) where session_id = $1"
        );
        sqlx::query(sqlx::AssertSqlSafe(there)).bind(id).bind(ON_THE_WAY).bind(&moves).execute(&mut *tx).await?;
    }
    Ok(())
}

async fn versions_before(tx: &mut Pen, id: SessionId, new: VersionId) -> Result<Vec<Earlier>, StoreError> {
    let rows: Vec<(VersionId, String, String)> = sqlx::query_as(
        "select id, reading, stands from session_versions where session_id = $1 and id <> $2 order by number desc",
    )
    .bind(id)
    .bind(new)
    .fetch_all(tx)
    .await?;
    let read = |(id, reading, list): (VersionId, String, String)| {
        let session: Session = serde_json::from_str(&reading)?;
        Ok(Earlier { id, stands: stands(&list, &session)?, session })
    };
    rows.into_iter().map(read).collect()
}

/// Where each part that ever was goes, by where it stands.
fn moves(earlier: &[Earlier], after: &Session) -> BTreeMap<usize, usize> {
    let Some(newest) = earlier.first() else { return BTreeMap::new() };
    let before: Vec<&Part> = newest.session.parts.iter().collect();
    let mut gone: BTreeMap<usize, &Part> = BTreeMap::new();
    for version in earlier {
        // a program of before parts were followed left what it took out under its own number, behind the last part
        for (part, at) in version.session.parts.iter().zip(&version.stands).filter(|(_, at)| !newest.stands.contains(at)) {
            gone.entry(*at).or_insert(part);
        }
    }
    let known: Vec<usize> = newest.stands.iter().chain(gone.keys()).copied().collect();
    let out: Vec<&Part> = gone.values().copied().collect();
    let places = same_part::places(&before, &out, &after.parts);
    let mut free = gone.keys().next_back().map_or(GONE, |last| GONE.max(last + 1))..;
    let to = |(i, from): (usize, &usize)| {
        let stays_out = if *from >= GONE { Some(*from) } else { None };
        let place = places.iter().position(|p| *p == Some(i)).or(stays_out).or_else(|| free.next());
        place.map(|place| (*from, place))
    };
    known.iter().enumerate().filter_map(to).collect()
}
