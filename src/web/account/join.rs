//! Joining by a one-time invitation.

use super::password::{check_password, open_link};
use crate::store::StoreError;
use crate::store::links::Purpose;
use crate::store::people::{NewPerson, Role, Units};
use crate::store::trail::Kind;
use crate::training::calendar::Zone;
use crate::web::App;
use crate::web::access;
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::Frame;
use crate::web::trail;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Form;
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "account/join.html")]
struct JoinPage {
    frame: Frame,
    group: String,
    form: JoinForm,
    zones: &'static [&'static str],
    errors: Errors,
}

/// What a newcomer types first. The password is never sent back.
#[derive(Deserialize, Default)]
pub struct JoinForm {
    #[serde(default)]
    name: String,
    #[serde(default)]
    sign_in: String,
    #[serde(default)]
    password: String,
    #[serde(default)]
    zone: String,
    #[serde(default)]
    units: String,
}

async fn page(app: &App, token: &str, form: JoinForm, errors: Errors) -> Result<JoinPage, Error> {
    let link = open_link(app, token, Purpose::Invitation).await?;
    let group = app.store.group(link.group_id.ok_or(Error::NotFound)?).await?.name;
    Ok(JoinPage { frame: Frame::signed_out("Join"), group, form, zones: Zone::names(), errors })
}

/// `GET /join/{token}`
///
/// # Errors
/// An invitation that is not ours or is spent.
pub async fn show_join(State(app): State<App>, Path(token): Path<String>) -> Result<Response, Error> {
    let form = JoinForm { units: "kg".to_owned(), ..JoinForm::default() };
    Ok(page(&app, &token, form, Errors::default()).await?.into_response())
}

/// `POST /join/{token}`
///
/// # Errors
/// An invitation that is not ours or is spent; wrong fields come back with the form.
pub async fn create_member(
    State(app): State<App>,
    Path(token): Path<String>,
    headers: HeaderMap,
    Form(form): Form<JoinForm>,
) -> Result<Response, Error> {
    let link = open_link(&app, &token, Purpose::Invitation).await?;
    let mut errors = Errors::default();
    let name = form.name.trim();
    errors.check((1..=100).contains(&name.chars().count()), "name", "Your name, as your coach knows you.");
    let sign_in = form.sign_in.trim();
    errors.check(
        (2..=200).contains(&sign_in.chars().count()),
        "sign_in",
        "An e-mail address, or a short name that you will remember.",
    );
    check_password(&form.password, &[sign_in, name], &mut errors);
    let zone = Zone::of_place(&form.zone);
    errors.check(zone.is_some(), "zone", "Type a large city with your time, such as Lisbon or New York.");
    let units = if form.units == "lb" { Units::Lb } else { Units::Kg };
    if let (true, Some(zone)) = (errors.is_empty(), zone) {
        let password_hash = Some(app.passwords.hash(form.password.clone()).await?);
        let new =
            NewPerson { role: Role::Member, sign_in: sign_in.to_owned(), name: name.to_owned(), password_hash, zone, units };
        match app.store.use_invitation(link.id, &new, app.clock.now()).await {
            Ok(person) => {
                trail::add(&app, Some(person), "joined", link.group_id.map(|g| (Kind::Group, g.0)), "").await;
                let cookies = access::sign_in(&app, person, &headers).await?;
                return Ok((cookies, access::mark_known(&app, person), Redirect::to("/welcome/kit")).into_response());
            }
            Err(StoreError::Taken(field)) => errors.add(field, "Somebody signs in with this already. Choose another."),
            Err(e) => return Err(e.into()),
        }
    }
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&app, &token, form, errors).await?).into_response())
}
