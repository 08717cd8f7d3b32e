//! The practice's movement library.

use super::access::Reads;
use super::problem::{Refusal, Refused};
use crate::training::movement::Movement;
use crate::web::App;
use axum::Json;
use axum::extract::{Path, State};
use axum_extra::extract::{Query, WithRejection};
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

/// A movement.
#[derive(Serialize, ToSchema)]
pub struct MovementOut {
    /// canonical name
    name: String,
    /// other names that people type
    aliases: Vec<String>,
    /// what kind it is
    pattern: &'static str,
    /// ways to do it: any one of these sets of implements is enough
    equipment: Vec<Vec<&'static str>>,
    /// what it asks
    demands: Vec<&'static str>,
    /// 1 (anyone) to 5 (years)
    skill: u8,
    /// load can be added
    loadable: bool,
    /// typical seconds a rep
    seconds_per_rep: Option<f64>,
    /// names of easier variations
    easier: Vec<String>,
    /// names of harder variations
    harder: Vec<String>,
    /// set-up, execution, finish
    cues: Vec<String>,
    /// common faults
    faults: Vec<String>,
    /// where it can hurt someone
    caution: Option<String>,
}

fn out(m: &Movement) -> MovementOut {
    MovementOut {
        name: m.name.clone(),
        aliases: m.aliases.clone(),
        pattern: m.pattern.key(),
        equipment: m.equipment.iter().map(|set| set.iter().map(|i| i.key()).collect()).collect(),
        demands: m.demands.iter().map(|d| d.key()).collect(),
        skill: m.skill,
        loadable: m.loadable,
        seconds_per_rep: m.seconds_per_rep,
        easier: m.easier.clone(),
        harder: m.harder.clone(),
        cues: m.cues.clone(),
        faults: m.faults.clone(),
        caution: m.caution.clone(),
    }
}

/// What is looked for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Search {
    /// words of a name; all movements where it is left out
    #[serde(default)]
    #[param(required = false)]
    q: String,
}

/// Movements by name, or the ones that fit the words.
///
/// # Errors
/// A token that may not read.
#[utoipa::path(get, path = "/api/v1/movements", tag = "movements", security(("token" = ["read"])), params(Search),
    responses((status = 200, body = Vec<MovementOut>), Refused))]
pub async fn list_movements(
    State(app): State<App>,
    Reads(_): Reads,
    WithRejection(Query(search), _): WithRejection<Query<Search>, Refusal>,
) -> Result<Json<Vec<MovementOut>>, Refusal> {
    let library = app.library();
    let found = if search.q.trim().is_empty() { library.all().iter().collect() } else { library.search(&search.q) };
    Ok(Json(found.into_iter().map(out).collect()))
}

/// A movement by its name or one of its other names.
///
/// # Errors
/// No such movement.
#[utoipa::path(get, path = "/api/v1/movements/{name}", tag = "movements", security(("token" = ["read"])),
    params(("name" = String, Path)), responses((status = 200, body = MovementOut), Refused))]
pub async fn show_movement(
    State(app): State<App>,
    Reads(_): Reads,
    WithRejection(Path(name), _): WithRejection<Path<String>, Refusal>,
) -> Result<Json<MovementOut>, Refusal> {
    app.library().find(&name).map(|m| Json(out(m))).ok_or_else(Refusal::not_found)
}
