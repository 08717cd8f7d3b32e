//! The boards of a week on one page: who leads each part, and where the reader stands.

use super::changes::shows_across;
use super::part::{RowView, View};
use super::standing::{self, Cut, Kit};
use super::wish::{Choice, Lists, Wish, choices};
use crate::store::groups::Group;
use crate::store::ids::GroupId;
use crate::store::people::{Person, Role};
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::session::{Part, ScoreKind};
use crate::training::wording;
use crate::web::App;
use crate::web::access::Joined;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use std::collections::HashMap;
use time::{Date, Duration};

/// Places of each list that stand here.
const LEADING: usize = 3;

#[derive(Template, WebTemplate)]
#[template(path = "board/week.html")]
struct WeekPage {
    frame: Frame,
    coach: bool,
    /// an assistant looks on
    may_nod: bool,
    group: String,
    before: String,
    after: String,
    /// where it is said that something changed
    changes: String,
    /// who is listed, and how
    choices: Vec<Choice>,
    /// only those with this at home are listed
    kit: Option<&'static str>,
    days: Vec<DayView>,
}

struct DayView {
    day: String,
    parts: Vec<PartView>,
}

struct PartView {
    name: String,
    board: String,
    /// behind the address of a nod: the board of this part
    on: String,
    mine: Option<String>,
    /// title and how many; leading rows with the reader's own
    tables: Vec<(String, usize, Vec<RowView>)>,
    waiting: usize,
}

/// Where the boards of a week are.
#[must_use]
pub fn address(group: GroupId, monday: Date) -> String {
    format!("/groups/{group}/weeks/{}/board", calendar::iso(monday))
}

/// The group and the Monday, where this reader may see its boards.
///
/// # Errors
/// A group that is not theirs, a day that is no Monday.
pub(super) async fn of_reader(app: &App, reader: &Person, id: GroupId, monday: &str) -> Result<(Group, Date), Error> {
    let monday = calendar::read_iso(monday).filter(|day| calendar::monday(*day) == *day).ok_or(Error::NotFound)?;
    let group = app.store.group(id).await?;
    if reader.role != Role::Coach && !app.store.group_ids_of(reader.id).await?.contains(&group.id) {
        return Err(Error::NotFound);
    }
    Ok((group, monday))
}

/// What the choices above the boards go by.
#[derive(Default)]
struct Offered {
    lists: Option<Lists>,
    /// on some board a member may see all groups
    across: bool,
}

/// The board of one part; none where nothing stands on it.
async fn part_view(
    app: &App,
    reader: &Person,
    (shown, i, part): (&Published, usize, &Part),
    wish: &Wish,
    offered: &mut Offered,
) -> Result<Option<PartView>, Error> {
    let across = shows_across(app, reader, shown, i).await?;
    let standing = standing::standing(app, shown, i, wish.which(reader, across), &Cut::top(reader, LEADING)).await?;
    offered.across |= across;
    if standing.tables.is_empty() && standing.listed.is_empty() {
        return Ok(None);
    }
    offered.lists = Some(Lists::and(offered.lists, Lists::of(&standing)));
    let mut view = View { standing: &standing, nods: HashMap::new(), part, reader };
    view.nods = app.store.nods_at(&view.on_the_page(), reader.id).await?;
    let tables = standing.tables.iter().enumerate().map(|(t, table)| {
        let seen = view.table(t, table, wish);
        (seen.title, seen.total, seen.rows)
    });
    Ok(Some(PartView {
        name: wording::part(part),
        board: format!("/sessions/{}/parts/{i}/board{}", shown.session_id, wish.address()),
        on: wish.behind_nods_of_week(shown.session_id.0, i),
        mine: view.mine(),
        tables: tables.collect(),
        waiting: standing.listed_total,
    }))
}

/// `GET /groups/{id}/weeks/{monday}/board`
///
/// # Errors
/// A group that is not theirs, a day that is no Monday.
pub async fn show_week_board(
    State(app): State<App>,
    Joined(reader): Joined,
    Path((id, monday)): Path<(i64, String)>,
    Query(wish): Query<Wish>,
) -> Result<Response, Error> {
    let (group, monday) = of_reader(&app, &reader, GroupId(id), &monday).await?;
    let said = wish.said().map(str::to_owned);
    let wish = wish.of_each();
    let coach = reader.role == Role::Coach;
    let (mut days, mut offered) = (Vec::new(), Offered::default());
    for shown in app.store.live_in_week(group.id, monday).await? {
        let mut parts = Vec::new();
        for (i, part) in shown.session.parts.iter().enumerate().filter(|(_, p)| p.score != ScoreKind::None) {
            parts.extend(part_view(&app, &reader, (&shown, i, part), &wish, &mut offered).await?);
        }
        if !parts.is_empty() {
            days.push(DayView { day: format!("{}: {}", calendar::long(shown.day), shown.session.title), parts });
        }
    }
    // of a part where all groups are not shown, nobody else is
    let which = wish.which(&reader, offered.across);
    let week = |n: i64| address(group.id, monday + Duration::weeks(n)) + &wish.address();
    let page = WeekPage {
        frame: Frame::of(&reader, format!("Boards from {}", calendar::long(monday)), if coach { "week" } else { "today" })
            .saying(said.as_deref()),
        before: week(-1),
        after: week(1),
        changes: format!("{}/changes{}", address(group.id, monday), wish.of_news(which)),
        choices: choices(&wish, which, offered.lists.unwrap_or_default(), &reader, offered.across),
        kit: which.kit.map(Kit::words),
        days,
        coach,
        may_nod: !reader.assistant,
        group: group.name,
    };
    Ok(page.into_response())
}
