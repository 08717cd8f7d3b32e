//! The whole URL map, on one page. Nothing is registered elsewhere.

use super::account::{by_passkey, change, devices, forgotten, join, passkeys, password, sign_in, tokens};
use super::coach::video::{self, save, tracks, upload};
use super::coach::{
    another, coaches, copy, coverage, decision, editor, fitting, groups, how_to, invitations, people, pin, preview, publish,
    run_sheet, tidy, unpublish, week,
};
use super::data::{erase, export, import, person};
use super::member::{cautions, clock, day, history, kit, lift, limits, results, talk, wish, you};
use super::movements::{edit, look};
use super::questions::{answer, ask};
use super::{App, api, around, board, headers, home, maxes, media, metrics, offline, review, trail};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::{any, get, head, post};
use memory_serve::CacheControl;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{DefaultPredicate, NotForContentType, Predicate};
use tower_http::csrf::CsrfLayer;
use tower_http::limit::RequestBodyLimitLayer;

/// Largest body of an ordinary form, bytes.
const FORM_LIMIT: usize = 256 * 1024;

/// Every route, with what stands around all of them.
pub fn router(app: App) -> Router {
    #[rustfmt::skip]
    let pages = Router::new()
        .route("/", get(home::home))
        // account
        .route("/sign-in", get(sign_in::show_sign_in).post(sign_in::create_sign_in))
        .route("/sign-in/passkey", post(by_passkey::create_sign_in))
        .route("/sign-in/passkey/question", post(by_passkey::create_question))
        .route("/forgotten", get(forgotten::show_forgotten).post(forgotten::mail_link))
        .route("/sign-out", post(sign_in::delete_sign_in))
        .route("/join/{token}", get(join::show_join).post(join::create_member))
        .route("/password/{token}", get(password::show_password).post(password::save_password))
        .route("/you/devices", get(devices::list_devices))
        .route("/you/devices/{id}/sign-out", post(devices::delete_device))
        .route("/you/devices/sign-out-others", post(devices::delete_other_devices))
        .route("/you/password", get(change::edit_password).post(change::change_password))
        .route("/you/passkeys", get(passkeys::list_passkeys).post(passkeys::new_passkey))
        .route("/you/passkeys/made", post(passkeys::create_passkey))
        .route("/you/passkeys/{id}/remove", post(passkeys::remove_passkey))
        // the app on the phone, with or without a signal
        .route("/manifest.webmanifest", get(offline::app::show_manifest))
        .route("/sw.js", get(offline::app::show_worker))
        .route("/no-signal", get(offline::app::show_no_signal))
        .route("/offline/pages", post(offline::pages::list_pages))
        // movements
        .route("/movements", get(look::list_movements))
        .route("/movements/new", get(edit::new_movement).post(edit::create_movement))
        .route("/movements/{name}", get(look::show_movement))
        .route("/movements/{name}/edit", get(edit::edit_movement).post(edit::save_movement))
        .route("/movements/{name}/reset", post(edit::reset_movement))
        .route("/media/{hash}", get(media::show_media))
        // results side by side
        .route("/sessions/{id}/parts/{part}/board", get(board::part::show_board))
        .route("/sessions/{id}/parts/{part}/board/changes", get(board::changes::follow_board))
        .route("/sessions/{id}/parts/{part}/board-rules", get(board::rules::show_part_rules).post(board::rules::save_part_rules))
        .route("/groups/{id}/board-rules", get(board::rules::show_group_rules).post(board::rules::save_group_rules))
        .route("/groups/{id}/weeks/{monday}/board", get(board::week::show_week_board))
        .route("/groups/{id}/weeks/{monday}/board/changes", get(board::changes::follow_week))
        .route("/sessions/{id}/results", get(board::session::show_results))
        .route("/results/{id}/correct", get(board::correct::show_correction).post(board::correct::save_correction))
        .route("/results/{id}/settle", post(board::settle::settle_result))
        .route("/results/{id}/nod", post(board::nod::toggle_nod))
        // questions and the coach's review
        .route("/sessions/{id}/questions", get(ask::new_question).post(ask::create_question))
        .route("/questions-of-mine", get(ask::list_my_questions))
        .route("/questions", get(answer::list_questions))
        .route("/questions/{id}/answer", post(answer::save_answer))
        .route("/questions/{id}/seen", post(answer::put_away))
        .route("/review", get(review::show_review))
        .route("/results/{id}/seen", post(review::save_seen))
        .route("/people/{id}/spoken", post(review::save_spoken))
        // member
        .route("/welcome/kit", get(kit::show_kit).post(kit::save_kit))
        .route("/welcome/limits", get(limits::show_limits).post(limits::save_limits))
        .route("/welcome/cautions", get(cautions::show_cautions).post(cautions::accept_cautions))
        .route("/today", get(day::show_today))
        .route("/days/{date}", get(day::show_day))
        .route("/sessions/{id}/parts/{part}/result", post(results::create_result))
        .route("/sessions/{id}/parts/{part}/understood", post(results::read_score))
        .route("/sessions/{id}/video", get(talk::show_talk))
        .route("/sessions/{id}/video/{track}", get(talk::show_track))
        .route("/sessions/{id}/parts/{part}/clock", get(clock::show_clock))
        .route("/sessions/{id}/parts/{part}/lines/{line}/change", post(wish::change_line))
        .route("/results/{id}", get(results::show_result).post(results::save_result))
        .route("/results/{id}/answer", post(results::answer_result))
        .route("/results/{id}/withdraw", post(results::withdraw_result))
        .route("/history", get(history::show_history))
        .route("/history/lifts/{movement}", get(lift::show_lift))
        .route("/you", get(you::show_you).post(you::save_you))
        .route("/you/kit", get(kit::show_kit).post(kit::save_kit))
        .route("/you/kit/still-true", post(kit::confirm_kit))
        .route("/you/limits", get(limits::show_limits).post(limits::save_limits))
        .route("/you/maxes", get(maxes::show_own_maxes).post(maxes::add_own_max))
        .route("/you/maxes/{max}/remove", post(maxes::remove_own_max))
        // coach: the week and its write-ups
        .route("/week", get(week::show_this_week))
        .route("/how-to-write", get(how_to::show_how_to))
        .route("/groups/{id}/weeks/{monday}", get(week::show_week))
        .route("/groups/{id}/weeks/{monday}/publish", get(publish::show_publish).post(publish::create_versions))
        .route("/groups/{id}/weeks/{monday}/unpublish", get(unpublish::show_unpublish).post(unpublish::unpublish))
        .route("/groups/{id}/weeks/{monday}/copy", get(copy::show_copy).post(copy::copy_week))
        .route("/groups/{id}/days/{date}/{slot}", get(editor::edit_session).post(editor::save_session))
        .route("/groups/{id}/days/{date}/{slot}/reading", post(editor::save_reading))
        .route("/groups/{id}/days/{date}/{slot}/tidy", post(tidy::show_tidied))
        .route("/groups/{id}/days/{date}/{slot}/intents", post(editor::save_session))
        .route("/groups/{id}/days/{date}/{slot}/coverage", get(coverage::show_coverage))
        .route("/groups/{id}/days/{date}/{slot}/pins", post(pin::create_pin))
        .route("/groups/{id}/days/{date}/{slot}/versions", post(another::create_part_version))
        .route("/pins/{id}/remove", post(pin::remove_pin))
        .route("/fitting", get(fitting::show_fitting).post(fitting::save_fitting))
        .route("/fitting/reset", post(fitting::reset_fitting))
        .route("/groups/{id}/days/{date}/{slot}/as/{person}", get(preview::show_preview))
        .route("/groups/{id}/days/{date}/{slot}/delete", post(editor::delete_session))
        .route("/groups/{id}/days/{date}/{slot}/run-sheet", get(run_sheet::show_run_sheet))
        .route("/groups/{id}/days/{date}/{slot}/video", get(video::show_video).post(save::save_video))
        .route("/groups/{id}/days/{date}/{slot}/video/fits", post(save::save_fits))
        .route("/groups/{id}/days/{date}/{slot}/video/chapters", post(tracks::save_chapters))
        .route("/groups/{id}/days/{date}/{slot}/video/captions", post(tracks::save_captions))
        .route("/groups/{id}/days/{date}/{slot}/video/uploads", post(upload::begin_upload))
        .route("/groups/{id}/days/{date}/{slot}/video/{track}", get(tracks::show_track))
        // coach: groups and people
        .route("/groups", get(groups::list_groups).post(groups::create_group))
        .route("/groups/{id}", get(groups::show_group).post(groups::save_group))
        .route("/groups/{id}/invitations", post(invitations::create_invitation))
        .route("/groups/{id}/invitations/{link}/withdraw", post(invitations::withdraw_invitation))
        .route("/coaches", get(coaches::list_coaches))
        .route("/coaches/{id}/role", post(coaches::save_role))
        .route("/coaches/{id}/passkey", post(coaches::save_passkey_asked))
        .route("/coaches/{id}/end", post(coaches::end_access))
        .route("/trail", get(trail::show_trail))
        .route("/people/{id}", get(people::show_person))
        .route("/people/{id}/sign-out", post(coaches::delete_sign_ins))
        .route("/people/{id}/level", post(people::save_level))
        .route("/people/{id}/decision", post(decision::save_decision))
        .route("/people/{id}/decision/take-back", post(decision::take_back))
        .route("/people/{id}/maxes", get(maxes::show_maxes).post(maxes::add_max))
        .route("/people/{id}/maxes/{max}/remove", post(maxes::remove_max))
        .route("/people/{id}/password-link", post(people::create_password_link))
        .route("/people/{id}/groups", post(people::add_to_group))
        .route("/people/{id}/groups/{group}/remove", post(people::remove_from_group))
        .route("/people/{id}/leave", post(people::end_membership))
        .route("/people/{id}/return", post(people::resume_membership))
        // for whoever runs it
        .route("/healthz", get(metrics::show_health))
        .route("/metrics", get(metrics::show_metrics))
        // data in and out
        .route("/you/data", get(person::show_own_data))
        .route("/you/data/bundle", get(person::download_own_data))
        .route("/you/data/delete", post(erase::delete_myself))
        .route("/people/{id}/data", get(person::show_data))
        .route("/people/{id}/data/bundle", get(person::download_data))
        .route("/people/{id}/data/delete", post(erase::delete_person))
        .route("/groups/{id}/data", get(import::show_group_data))
        .route("/groups/{id}/import", post(import::import_table))
        .route("/groups/{id}/results.csv", get(export::download_results))
        .route("/groups/{id}/members.csv", get(export::download_members))
        .route("/you/tokens", get(tokens::list_tokens).post(tokens::create_token))
        .route("/you/tokens/{id}/end", post(tokens::end_token))
        .fallback(home::not_found)
        .method_not_allowed_fallback(home::wrong_method)
        .layer(from_fn_with_state(app.clone(), offline::keep::mark))
        .layer(RequestBodyLimitLayer::new(FORM_LIMIT));
    // for programs
    #[rustfmt::skip]
    let programs = Router::new()
        .route("/api/v1/openapi.json", get(api::doc::show_document))
        .route("/api/v1/me", get(api::me::show_me))
        .route("/api/v1/days/{date}", get(api::sessions::show_day))
        .route("/api/v1/groups", get(api::me::list_groups))
        .route("/api/v1/groups/{id}/weeks/{monday}", get(api::sessions::show_week))
        .route("/api/v1/groups/{id}/members", get(api::members::list_members))
        .route("/api/v1/groups/{id}/results", get(api::members::list_group_results))
        .route("/api/v1/members/{id}", get(api::members::show_member))
        .route("/api/v1/members/{id}/results", get(api::members::list_member_results))
        .route("/api/v1/sessions/{id}", get(api::sessions::show_session))
        .route("/api/v1/sessions/{id}/parts/{part}/results", post(api::results::create_result))
        .route("/api/v1/sessions/{id}/parts/{part}/leaderboard", get(api::board::show_leaderboard))
        .route("/api/v1/results", get(api::results::list_results))
        .route("/api/v1/results/{id}", get(api::results::show_result).put(api::results::save_result).delete(api::results::withdraw_result))
        .route("/api/v1/movements", get(api::movements::list_movements))
        .route("/api/v1/movements/{name}", get(api::movements::show_movement))
        .route("/api/{*rest}", any(api::not_found))
        .method_not_allowed_fallback(api::wrong_method)
        .layer(RequestBodyLimitLayer::new(FORM_LIMIT));
    // files are counted while they stream to disk, so that the page can say that one is too large
    let uploads = Router::new()
        .route("/groups/{id}/days/{date}/{slot}/video/file", post(save::upload_video))
        .route("/uploads/{id}", head(upload::show_upload).patch(upload::add_to_upload).delete(upload::delete_upload))
        .layer(DefaultBodyLimit::disable());

    // compressed when they were built in, and never asked for again
    let forever = CacheControl::Custom("public, max-age=31536000, immutable");
    let files = [memory_serve::load!("static"), memory_serve::load!("made")]
        .map(|folder| folder.index_file(None).cache_control(forever).into_router())
        .into_iter()
        .fold(Router::new(), Router::merge);
    let mut csrf = CsrfLayer::new();
    if let Ok(trusting) = csrf.clone().add_trusted_origin(app.config.public_address()) {
        csrf = trusting;
    }
    // videos are small already, and a compressed answer cannot be jumped into
    let small = DefaultPredicate::new().and(NotForContentType::const_new("video/")).and(NotForContentType::const_new("audio/"));
    let secure = app.config.secure();
    let all = Router::new()
        .nest(concat!("/static/", env!("DOWEL_STATIC")), files)
        .merge(pages)
        .merge(programs)
        .merge(uploads)
        .layer(csrf)
        .layer(CatchPanicLayer::new())
        .layer(from_fn_with_state(app.clone(), trail::keep))
        .layer(from_fn_with_state(app.clone(), around::around))
        .layer(CompressionLayer::new().compress_when(small))
        .layer(from_fn(headers::add))
        .with_state(app);
    if secure { all.layer(from_fn(headers::add_strict_transport)) } else { all }
}
