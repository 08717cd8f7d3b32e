//! Groups: the list, one group with its members and invitations.

use super::{moment, this_monday, week_address};
use crate::store::StoreError;
use crate::store::groups::Group;
use crate::store::ids::{GroupId, LinkId};
use crate::store::people::Person;
use crate::web::App;
use crate::web::access::{Coach, Staff};
use crate::web::error::Error;
use crate::web::forms::Errors;
use crate::web::frame::{Frame, Said};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::{Form, Query};
use serde::Deserialize;

#[derive(Template, WebTemplate)]
#[template(path = "coach/groups.html")]
struct GroupsPage {
    frame: Frame,
    groups: Vec<(Group, String)>,
    loose: Vec<Person>,
    left: Vec<Person>,
    form: GroupForm,
    errors: Errors,
}

#[derive(Template, WebTemplate)]
#[template(path = "coach/group.html")]
struct GroupPage {
    frame: Frame,
    group: Group,
    week: String,
    members: Vec<Person>,
    invitations: Vec<Invitation>,
    form: GroupForm,
    whom: String,
    /// the next invitation's own id
    client_id: String,
    errors: Errors,
}

/// An open invitation, ready to be sent or shown.
struct Invitation {
    id: LinkId,
    label: String,
    address: String,
    /// SVG of the address as a QR code
    qr: String,
    until: String,
}

/// A group's name and line, as typed.
#[derive(Clone, Deserialize, Default)]
pub struct GroupForm {
    #[serde(default)]
    name: String,
    #[serde(default)]
    about: String,
}

impl GroupForm {
    fn errors(&self) -> Errors {
        let mut errors = Errors::default();
        errors.check(
            (1..=80).contains(&self.name.trim().chars().count()),
            "name",
            "A name of 1 to 80 letters, such as Early birds.",
        );
        errors.check(self.about.chars().count() <= 300, "about", "At most 300 letters.");
        errors
    }
}

const TAKEN: &str = "Another group has this name. Choose a different one.";

async fn list_page(app: &App, coach: &Person, said: Option<&str>, form: GroupForm, errors: Errors) -> Result<GroupsPage, Error> {
    let monday = this_monday(coach, app.clock.now());
    let groups =
        app.store.groups().await?.into_iter().map(|g| (week_address(g.id, monday), g)).map(|(week, g)| (g, week)).collect();
    let frame = Frame::of(coach, "Groups", "groups").saying(said);
    let (loose, left) = (app.store.members_without_group().await?, app.store.members_who_left().await?);
    Ok(GroupsPage { frame, groups, loose, left, form, errors })
}

/// `GET /groups`
///
/// # Errors
/// Only the store's own.
pub async fn list_groups(State(app): State<App>, Staff(coach): Staff, Query(q): Query<Said>) -> Result<Response, Error> {
    Ok(list_page(&app, &coach, q.said.as_deref(), GroupForm::default(), Errors::default()).await?.into_response())
}

/// `POST /groups`
///
/// # Errors
/// Only the store's own; wrong fields come back with the form.
pub async fn create_group(State(app): State<App>, Coach(coach): Coach, Form(form): Form<GroupForm>) -> Result<Response, Error> {
    let mut errors = form.errors();
    if errors.is_empty() {
        match app.store.add_group(&form.name, &form.about, app.clock.now()).await {
            Ok(id) => return Ok(Redirect::to(&format!("/groups/{id}?said=saved")).into_response()),
            Err(StoreError::Taken(field)) => errors.add(field, TAKEN),
            Err(e) => return Err(e.into()),
        }
    }
    Ok((StatusCode::UNPROCESSABLE_ENTITY, list_page(&app, &coach, None, form, errors).await?).into_response())
}

/// What was typed on a group's page that could not be taken.
#[derive(Default)]
pub(super) struct Typed {
    pub(super) form: Option<GroupForm>,
    pub(super) whom: String,
    pub(super) errors: Errors,
}

/// A group's page, with what was typed where it could not be taken.
pub(super) async fn group_page(
    app: &App,
    coach: &Person,
    id: GroupId,
    said: Option<&str>,
    typed: Typed,
) -> Result<Response, Error> {
    let group = app.store.group(id).await?;
    let now = app.clock.now();
    let invitation = |link: crate::store::links::Link| {
        let address = app.links.invitation_address(&link);
        Invitation { id: link.id, qr: qr(&address), until: moment(coach, link.expires_at()), label: link.label, address }
    };
    let status = if typed.errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let page = GroupPage {
        frame: Frame::of(coach, group.name.clone(), "groups").saying(said),
        week: week_address(id, this_monday(coach, now)),
        members: app.store.members_of(id).await?,
        invitations: if coach.assistant {
            Vec::new()
        } else {
            app.store.open_invitations(id, now).await?.into_iter().map(invitation).collect()
        },
        form: typed.form.unwrap_or_else(|| GroupForm { name: group.name.clone(), about: group.about.clone() }),
        whom: typed.whom,
        client_id: crate::clock::new_uuid(now),
        errors: typed.errors,
        group,
    };
    Ok((status, page).into_response())
}

/// The address as a QR code: an SVG of our own making; empty where it is too long for one.
fn qr(address: &str) -> String {
    use fast_qr::convert::{Builder, svg::SvgBuilder};
    fast_qr::QRBuilder::new(address).build().map(|code| SvgBuilder::default().margin(2).to_str(&code)).unwrap_or_default()
}

/// `GET /groups/{id}`
///
/// # Errors
/// No such group.
pub async fn show_group(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    group_page(&app, &coach, GroupId(id), q.said.as_deref(), Typed::default()).await
}

/// `POST /groups/{id}`
///
/// # Errors
/// No such group; wrong fields come back with the form.
pub async fn save_group(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<GroupForm>,
) -> Result<Response, Error> {
    let id = GroupId(id);
    app.store.group(id).await?;
    let mut errors = form.errors();
    if errors.is_empty() {
        match app.store.save_group(id, &form.name, &form.about).await {
            Ok(()) => return Ok(Redirect::to(&format!("/groups/{id}?said=saved")).into_response()),
            Err(StoreError::Taken(field)) => errors.add(field, TAKEN),
            Err(e) => return Err(e.into()),
        }
    }
    group_page(&app, &coach, id, None, Typed { form: Some(form), errors, ..Typed::default() }).await
}
