//! The run sheet for filming: one page a session, for paper or a second screen beside the camera.

use super::place::{Place, SlotPath};
use super::reading;
use crate::training::captions;
use crate::training::movement::{Implement, Library, Movement};
use crate::training::session::{Part, Session};
use crate::training::{pace, wording};
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};

#[derive(Template, WebTemplate)]
#[template(path = "coach/run_sheet.html")]
struct RunSheet {
    frame: Frame,
    title: String,
    aim: Option<String>,
    minutes: String,
    address: String,
    notes: Vec<String>,
    parts: Vec<PartSheet>,
}

/// Boxes to tick that two columns of one sheet of A4 hold, with room for headings and lines.
const ROOMY: usize = 100;

impl RunSheet {
    /// Printed smaller and in three columns, so that it stays one page.
    fn crowded(&self) -> bool {
        self.parts.iter().flat_map(|p| &p.points).map(|m| m.say.len()).sum::<usize>() > ROOMY
    }
}

struct PartSheet {
    heading: String,
    /// format and minutes
    how: String,
    lines: Vec<String>,
    /// the coach's own versions: name, and what differs
    options: Vec<(String, String)>,
    notes: Vec<String>,
    /// one a movement that the library knows, in order, each once a session
    points: Vec<Points>,
    /// movements whose points stood above already
    above: Vec<String>,
}

/// What is said of a movement: word, and what to say.
struct Points {
    movement: String,
    say: Vec<(&'static str, String)>,
}

fn kit(m: &Movement) -> String {
    let set = |one: &Vec<Implement>| {
        let named: Vec<_> = one.iter().filter(|i| **i != Implement::None).map(|i| i.label()).collect();
        if named.is_empty() { "nothing".to_owned() } else { named.join(" and ") }
    };
    m.equipment.iter().map(set).collect::<Vec<_>>().join(", or ")
}

/// Kit, set-up, standard, pace, common fault; what the library does not say is left out.
fn points(m: &Movement) -> Points {
    let mut say = vec![("Kit", kit(m))];
    let mut cues = m.cues.iter().cloned();
    say.extend(cues.next().map(|c| ("Set-up", c)));
    let standard = cues.collect::<Vec<_>>().join("; ");
    say.extend((!standard.is_empty()).then_some(("Standard", standard)));
    let unit = m.unit.label().trim_end_matches('s');
    // a movement counted in seconds has no pace of its own
    let paced = m.seconds_per_rep.filter(|_| m.unit == crate::training::movement::Unit::Reps);
    say.extend(paced.map(|s| ("Pace", format!("about {s} s a {unit}"))));
    say.extend((!m.faults.is_empty()).then(|| ("Common fault", m.faults.join("; "))));
    say.extend(m.caution.clone().map(|c| ("Caution", c)));
    Points { movement: m.name.clone(), say }
}

fn span(low_s: f64, high_s: f64) -> String {
    let (low, high) = ((low_s / 60.0).round().max(1.0), (high_s / 60.0).round().max(1.0));
    if low == high { format!("about {low} min") } else { format!("{low} to {high} min") }
}

fn part(p: &Part, library: &Library, said: &mut Vec<String>) -> PartSheet {
    let time = pace::part(p, library);
    let format = wording::format(p);
    let minutes = span(time.low_s, time.high_s);
    let (mut new, mut above) = (Vec::new(), Vec::new());
    let pieces = |l: &crate::training::session::Line| -> Vec<String> {
        if l.complex.is_empty() { vec![l.movement.clone()] } else { l.complex.iter().map(|c| c.movement.clone()).collect() }
    };
    for m in p.lines.iter().flat_map(pieces).filter_map(|name| library.find(&name)) {
        if !said.contains(&m.name) {
            said.push(m.name.clone());
            new.push(points(m));
        } else if !above.contains(&m.name) && !new.iter().any(|n: &Points| n.movement == m.name) {
            above.push(m.name.clone());
        }
    }
    PartSheet {
        heading: captions::heading(p),
        how: if format.is_empty() { minutes } else { format!("{format} · {minutes}") },
        lines: p.lines.iter().map(wording::whole_line).collect(),
        options: p.options.iter().map(|o| (o.name.clone(), wording::option(o))).collect(),
        notes: p.notes.clone(),
        points: new,
        above,
    }
}

fn parts(session: &Session, library: &Library) -> Vec<PartSheet> {
    let mut said = Vec::new();
    session.parts.iter().map(|p| part(p, library, &mut said)).collect()
}

/// `GET /groups/{id}/days/{date}/{slot}/run-sheet`
///
/// # Errors
/// No such group or day, or nothing is written there.
pub async fn show_run_sheet(State(app): State<App>, Staff(coach): Staff, Path(path): Path<SlotPath>) -> Result<Response, Error> {
    let place = Place::read(&app, path).await?;
    let slot = place.stored(&app).await?.filter(|s| !s.draft.trim().is_empty()).ok_or(Error::NotFound)?;
    let library = app.library();
    let session = reading::session(&slot.draft, &slot.intents, &library);
    let time = pace::session(&session, &library);
    let page = RunSheet {
        frame: Frame::of(&coach, format!("Run sheet: {}, {}", place.words(), place.group.name), "week"),
        title: session.title.clone(),
        aim: session.aim.as_deref().map(wording::aim),
        minutes: span(time.low_s, time.high_s),
        address: place.address(),
        notes: session.notes.clone(),
        parts: parts(&session, &library),
    };
    Ok(page.into_response())
}
