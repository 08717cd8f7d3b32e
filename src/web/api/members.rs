//! Members and their results, for a coach.

use super::access::Coaches;
use super::me::unit;
use super::problem::{BadFields, Refusal, Refused};
use super::results::{ResultOut, Span};
use crate::store::ids::{GroupId, PersonId};
use crate::store::people::{Person, Role};
use crate::web::App;
use crate::web::coach::people::level_word;
use crate::web::data::export::instant;
use crate::web::error::Error;
use axum::Json;
use axum::extract::{Path, State};
use axum_extra::extract::{Query, WithRejection};
use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

/// A member as the coach sees them; their private note stays on the pages.
#[derive(Serialize, ToSchema)]
pub struct MemberOut {
    /// row
    id: i64,
    /// name
    name: String,
    /// shown on boards instead
    nickname: Option<String>,
    /// what they sign in with
    sign_in: String,
    /// time zone, IANA name
    zone: &'static str,
    /// `kg` or `lb`
    units: &'static str,
    /// `beginner`, `intermediate`, `advanced`
    level: &'static str,
    /// which of two load columns is theirs
    load_column: u8,
    /// what is at home: `item`, `kg`, `count` ...
    #[schema(value_type = Vec<Object>)]
    kit: Value,
    /// demands kept out
    #[schema(value_type = Vec<String>)]
    avoid: Value,
    /// on boards
    shown: bool,
    /// when they joined
    #[schema(format = DateTime)]
    joined_at: String,
    /// when they left
    #[schema(format = DateTime)]
    left_at: Option<String>,
}

fn out(p: &Person) -> Result<MemberOut, Refusal> {
    let broken = |e: serde_json::Error| Refusal::from(Error::Internal(e.into()));
    Ok(MemberOut {
        id: p.id.0,
        name: p.name.clone(),
        nickname: p.nickname.clone(),
        sign_in: p.sign_in.clone(),
        zone: p.zone.name(),
        units: unit(p.units),
        level: level_word(p.level),
        load_column: p.load_column,
        kit: serde_json::to_value(&p.kit).map_err(broken)?,
        avoid: serde_json::to_value(&p.avoid).map_err(broken)?,
        shown: p.shown,
        joined_at: instant(p.created_at),
        left_at: p.left_at.map(instant),
    })
}

async fn member(app: &App, id: i64) -> Result<Person, Refusal> {
    let person = app.store.person(PersonId(id)).await?;
    if person.role == Role::Member { Ok(person) } else { Err(Refusal::not_found()) }
}

/// Members of a group by name, without those who left.
///
/// # Errors
/// No such group.
#[utoipa::path(get, path = "/api/v1/groups/{id}/members", tag = "members", security(("token" = ["coach"])),
    params(("id" = i64, Path)), responses((status = 200, body = Vec<MemberOut>), Refused))]
pub async fn list_members(
    State(app): State<App>,
    Coaches(_): Coaches,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
) -> Result<Json<Vec<MemberOut>>, Refusal> {
    let group = app.store.group(GroupId(id)).await?;
    Ok(Json(app.store.members_of(group.id).await?.iter().map(out).collect::<Result<_, _>>()?))
}

/// A member.
///
/// # Errors
/// No such member.
#[utoipa::path(get, path = "/api/v1/members/{id}", tag = "members", security(("token" = ["coach"])),
    params(("id" = i64, Path)), responses((status = 200, body = MemberOut), Refused))]
pub async fn show_member(
    State(app): State<App>,
    Coaches(_): Coaches,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
) -> Result<Json<MemberOut>, Refusal> {
    Ok(Json(out(&member(&app, id).await?)?))
}

/// A member's results by day, without those taken back.
///
/// # Errors
/// No such member; days that are none.
#[utoipa::path(get, path = "/api/v1/members/{id}/results", tag = "members", security(("token" = ["coach"])),
    params(("id" = i64, Path), Span), responses((status = 200, body = Vec<ResultOut>), Refused, BadFields))]
pub async fn list_member_results(
    State(app): State<App>,
    Coaches(_): Coaches,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
    WithRejection(Query(span), _): WithRejection<Query<Span>, Refusal>,
) -> Result<Json<Vec<ResultOut>>, Refusal> {
    let person = member(&app, id).await?;
    let (from, to) = span.days()?;
    let list = app.store.results_of_person(person.id, from, to).await?;
    Ok(Json(list.iter().map(|r| ResultOut::of(r, span.private)).collect()))
}

/// Results on a group's sessions from day to day, taken back or not.
///
/// # Errors
/// No such group; days that are none.
#[utoipa::path(get, path = "/api/v1/groups/{id}/results", tag = "members", security(("token" = ["coach"])),
    params(("id" = i64, Path), Span), responses((status = 200, body = Vec<ResultOut>), Refused, BadFields))]
pub async fn list_group_results(
    State(app): State<App>,
    Coaches(_): Coaches,
    WithRejection(Path(id), _): WithRejection<Path<i64>, Refusal>,
    WithRejection(Query(span), _): WithRejection<Query<Span>, Refusal>,
) -> Result<Json<Vec<ResultOut>>, Refusal> {
    let group = app.store.group(GroupId(id)).await?;
    let (from, to) = span.days()?;
    let list = app.store.results_of_group(group.id, from, to).await?;
    Ok(Json(list.iter().map(|e| ResultOut::of(&e.result, span.private)).collect()))
}
