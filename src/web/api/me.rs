//! Whose token it is, and their groups.

use super::access::{Holder, Reads};
use super::problem::{Refusal, Refused};
use crate::store::groups::Group;
use crate::store::people::{Role, Units};
use crate::store::tokens::Scope;
use crate::web::App;
use axum::Json;
use axum::extract::State;
use serde::Serialize;
use utoipa::ToSchema;

/// Whose token it is.
#[derive(Serialize, ToSchema)]
pub struct Me {
    /// row
    id: i64,
    /// name
    name: String,
    /// `coach` or `member`
    role: &'static str,
    /// `kg` or `lb`: a bare number that is logged is in it
    units: &'static str,
    /// time zone, IANA name: decides which day is today
    zone: &'static str,
    /// what the token may do: `read`, `log`, `coach`
    scopes: Vec<&'static str>,
}

/// Members who follow the same week.
#[derive(Serialize, ToSchema)]
pub struct GroupOut {
    /// row
    id: i64,
    /// name
    name: String,
    /// one line about it
    about: String,
    /// how many are in it; for coaches alone
    members: Option<i64>,
}

pub(super) fn unit(units: Units) -> &'static str {
    if units == Units::Lb { "lb" } else { "kg" }
}

/// Whose token this is. Any token may ask.
///
/// # Errors
/// A token that is not good.
#[utoipa::path(get, path = "/api/v1/me", tag = "you", security(("token" = [])), responses((status = 200, body = Me), Refused))]
pub async fn show_me(holder: Holder) -> Result<Json<Me>, Refusal> {
    let scope = |s: &Scope| match s {
        Scope::Read => "read",
        Scope::Log => "log",
        Scope::Coach => "coach",
    };
    let p = &holder.person;
    Ok(Json(Me {
        id: p.id.0,
        name: p.name.clone(),
        role: if p.role == Role::Coach { "coach" } else { "member" },
        units: unit(p.units),
        zone: p.zone.name(),
        scopes: holder.scopes.iter().map(scope).collect(),
    }))
}

/// A member's groups; a coach's are all.
///
/// # Errors
/// A token that may not read.
#[utoipa::path(get, path = "/api/v1/groups", tag = "you", security(("token" = ["read"])),
    responses((status = 200, body = Vec<GroupOut>), Refused))]
pub async fn list_groups(State(app): State<App>, Reads(person): Reads) -> Result<Json<Vec<GroupOut>>, Refusal> {
    let coach = person.role == Role::Coach;
    let groups = if coach { app.store.groups().await? } else { app.store.groups_of(person.id).await? };
    let out = |g: Group| GroupOut { id: g.id.0, name: g.name, about: g.about, members: coach.then_some(g.members) };
    Ok(Json(groups.into_iter().map(out).collect()))
}
