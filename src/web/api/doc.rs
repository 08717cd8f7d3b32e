//! The OpenAPI 3.1 document, made from the code that answers.

use super::{board, me, members, movements, results, sessions};
use axum::Json;
use utoipa::openapi::security::{HttpAuthScheme, HttpBuilder, SecurityScheme};
use utoipa::{Modify, OpenApi};

/// The whole of it.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "Dowel",
        description = "Daily training, written by a coach and delivered to members at home. The same rights as on the pages: \
            what is not yours is not found. Make a token under /you/tokens and send it as `Authorization: Bearer ...`."
    ),
    paths(
        me::show_me,
        me::list_groups,
        sessions::show_week,
        sessions::show_session,
        sessions::show_day,
        results::list_results,
        results::show_result,
        results::create_result,
        results::save_result,
        results::withdraw_result,
        board::show_leaderboard,
        members::list_members,
        members::show_member,
        members::list_member_results,
        members::list_group_results,
        movements::list_movements,
        movements::show_movement,
    ),
    modifiers(&Token)
)]
pub struct Document;

struct Token;

impl Modify for Token {
    fn modify(&self, document: &mut utoipa::openapi::OpenApi) {
        let scheme = HttpBuilder::new().scheme(HttpAuthScheme::Bearer).bearer_format("dowel_...").build();
        let components = document.components.get_or_insert_with(Default::default);
        components.add_security_scheme("token", SecurityScheme::Http(scheme));
    }
}

/// `GET /api/v1/openapi.json`, for anybody.
pub async fn show_document() -> Json<utoipa::openapi::OpenApi> {
    Json(Document::openapi())
}
