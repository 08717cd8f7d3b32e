//! Whose a line of results is, and what is there already: brought in before, logged here, or in an earlier line.

use super::export::part_name;
use crate::store::groups::Group;
use crate::store::ids::PersonId;
use crate::store::past::PastResult;
use crate::store::people::Person;
use crate::training::calendar;
use crate::training::intake::{Fault, Line, Logged, Past, Row, Whose};
use crate::web::App;
use crate::web::error::Error;
use std::collections::{HashMap, HashSet};
use time::Date;

/// What a table of results is held against.
pub(super) struct There {
    group: String,
    members: Vec<Person>,
    /// past results; 0 where it was there before, else the line that brings it
    past: HashMap<(PersonId, String), u64>,
    /// what was logged here
    logged: HashSet<(PersonId, String)>,
}

impl There {
    /// What the group has of the days of these lines.
    pub async fn of(app: &App, group: &Group, lines: &[Line<Row>]) -> Result<Self, Error> {
        let members = app.store.members_of(group.id).await?;
        let mut past = HashMap::new();
        for person in &members {
            past.extend(app.store.past_results(person.id).await?.iter().map(|p| ((person.id, key(p)), 0)));
        }
        let mut logged = HashSet::new();
        let days = lines.iter().filter_map(|line| match &line.read {
            Ok(Row::New(past)) => past.logged.as_ref().map(|l| l.session_day),
            _ => None,
        });
        if let Some((from, to)) = span(days) {
            let here = app.store.results_of_group(group.id, from, to).await?;
            logged.extend(here.iter().map(|e| {
                let first = e.first.as_ref().unwrap_or(&e.result.logged);
                let typed = first.score_text.trim().to_owned();
                let at = Logged { session_day: e.day, session: e.session.title.clone(), part: part_name(e), typed };
                (e.result.person_id, place(&at, e.result.done_on))
            }));
        }
        Ok(Self { group: group.name.clone(), members, past, logged })
    }

    /// The member whose it is, by sign-in; by name where only one has it.
    pub fn whose(&self, past: &Past) -> Result<(PersonId, String), Fault> {
        let (column, typed) = match &past.person {
            Whose::SignIn(name) if past.logged.is_some() => ("sign_in", name),
            Whose::SignIn(name) | Whose::Name(name) => ("person", name),
        };
        let low = typed.to_lowercase();
        let is = |p: &&Person| match &past.person {
            Whose::SignIn(_) => p.sign_in.to_lowercase() == low,
            Whose::Name(_) => p.name.to_lowercase() == low,
        };
        let mut found = self.members.iter().filter(is);
        let text = match (found.next(), found.next()) {
            (Some(one), None) => return Ok((one.id, one.name.clone())),
            (Some(_), Some(_)) => "More than one member has this name. Add a column sign_in.".to_owned(),
            (None, _) if matches!(past.person, Whose::Name(_)) => {
                format!("Nobody in {} has this name. Bring the members in first.", self.group)
            }
            (None, _) => format!("Nobody in {} signs in with this. Bring the members in first.", self.group),
        };
        Err(Fault { column: column.to_owned(), typed: typed.clone(), text })
    }

    /// Why this line would bring nothing new; from now on it is there itself.
    pub fn seen(&mut self, id: PersonId, past: &Past, row: &PastResult, line: u64) -> Option<String> {
        if past.logged.as_ref().is_some_and(|l| self.logged.contains(&(id, place(l, past.day)))) {
            return Some("This was logged here already, and stays as it is.".to_owned());
        }
        match self.past.get(&(id, key(row))) {
            Some(0) => Some("This is there already.".to_owned()),
            Some(first) => Some(format!("The same as line {first}: left out.")),
            None => {
                self.past.insert((id, key(row)), line);
                None
            }
        }
    }
}

fn span(days: impl Iterator<Item = Date>) -> Option<(Date, Date)> {
    days.fold(None, |span, day| match span {
        None => Some((day, day)),
        Some((from, to)) => Some((day.min(from), day.max(to))),
    })
}

/// What makes two past results of one person the same.
fn key(past: &PastResult) -> String {
    format!("{}\n{}\n{}", calendar::iso(past.day), past.title, past.score_text)
}

/// What makes a line of Dowel's own table the same as what was logged here.
fn place(at: &Logged, done_on: Date) -> String {
    let days = [at.session_day, done_on].map(calendar::iso).join("\n");
    format!("{days}\n{}\n{}\n{}", at.session.trim(), at.part.trim(), at.typed.trim())
}
