//! The rules of boards: what the coach can change, for a group or for one part.

use super::part::version_for;
use crate::store::boards::Rules;
use crate::store::ids::{GroupId, SessionId};
use crate::training::standings::{Attempts, Late, Policy, TieBreak};
use crate::training::wording;
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
#[template(path = "board/rules.html")]
struct RulesPage {
    frame: Frame,
    back: String,
    back_words: String,
    form: RulesForm,
    errors: Errors,
    /// the rules as members read them now
    sentences: Vec<String>,
    /// a part that has rules of its own
    own: bool,
    /// of a part, not of a group
    part: bool,
}

/// Rules as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RulesForm {
    /// `versions` or `one`
    list: String,
    /// `first`, `best`, `last`
    attempts: String,
    /// `none`, `clock`, `fewer_reps`, `more_reps`, `heavier`
    tie: String,
    /// what the clock is read at
    tie_words: String,
    /// kilograms
    step: String,
    /// days after the session's day, or empty: it stays open
    closes_days: String,
    /// `21:00`; empty: the end of that day
    closes_time: String,
    /// hours
    grace: String,
    /// late results count
    late: Option<String>,
    /// groups may be seen in one list
    across: Option<String>,
    /// back to the group's rules
    reset: Option<String>,
}

impl RulesForm {
    fn of(p: &Policy) -> Self {
        let (tie, words) = match &p.tie_break {
            TieBreak::None | TieBreak::LighterBody => ("none", String::new()),
            TieBreak::Clock(words) => ("clock", words.clone()),
            TieBreak::FewerReps => ("fewer_reps", String::new()),
            TieBreak::MoreReps => ("more_reps", String::new()),
            TieBreak::HeavierLoad => ("heavier", String::new()),
        };
        let closes = p.closes_min.map(|m| (m.div_euclid(1440), m.rem_euclid(1440)));
        let (days, time) = match closes {
            None => (String::new(), String::new()),
            // midnight is the end of the day before
            Some((days, 0)) if days > 0 => ((days - 1).to_string(), String::new()),
            Some((days, of_day)) => (days.to_string(), format!("{:02}:{:02}", of_day / 60, of_day % 60)),
        };
        Self {
            list: if p.one_list { "one" } else { "versions" }.to_owned(),
            attempts: match p.attempts {
                Attempts::First => "first",
                Attempts::Best => "best",
                Attempts::Last => "last",
            }
            .to_owned(),
            tie: tie.to_owned(),
            tie_words: words,
            step: p.load_step_kg.to_string(),
            closes_days: days,
            closes_time: time,
            grace: p.grace_h.to_string(),
            late: (p.late == Late::Counts).then(|| "on".to_owned()),
            across: p.across_groups.then(|| "on".to_owned()),
            reset: None,
        }
    }

    fn read(&self, errors: &mut Errors) -> Policy {
        let tie_break = match self.tie.as_str() {
            "clock" => {
                let words = self.tie_words.trim();
                errors.check(!words.is_empty(), "tie_words", "Say which clock, such as: the time after the third round.");
                errors.check(words.chars().count() <= 200, "tie_words", "At most 200 letters.");
                TieBreak::Clock(words.to_owned())
            }
            "fewer_reps" => TieBreak::FewerReps,
            "more_reps" => TieBreak::MoreReps,
            "heavier" => TieBreak::HeavierLoad,
            _ => TieBreak::None,
        };
        let step = number(&self.step, 0.0, 10.0);
        errors.check(step.is_some(), "step", "Kilograms from 0 to 10, such as 0.5. 0 compares to the gram.");
        let grace = number(&self.grace, 0.0, 24.0 * 14.0);
        errors.check(grace.is_some(), "grace", "Hours from 0 to 336, such as 24.");
        Policy {
            one_list: self.list == "one",
            load_step_kg: step.unwrap_or(0.5),
            attempts: match self.attempts.as_str() {
                "best" => Attempts::Best,
                "last" => Attempts::Last,
                _ => Attempts::First,
            },
            tie_break,
            closes_min: self.closes(errors),
            grace_h: grace.unwrap_or(24.0),
            late: if self.late.is_some() { Late::Counts } else { Late::Listed },
            across_groups: self.across.is_some(),
            ..Policy::default()
        }
    }

    /// Minutes into the session's day.
    fn closes(&self, errors: &mut Errors) -> Option<i64> {
        let (days, time) = (self.closes_days.trim(), self.closes_time.trim());
        if days.is_empty() {
            errors.check(time.is_empty(), "closes_days", "Choose the day on which it closes at that time.");
            return None;
        }
        let days = days.parse::<i64>().ok().filter(|d| (0..=30).contains(d));
        errors.check(days.is_some(), "closes_days", "A number of days from 0 to 30.");
        let of_day = if time.is_empty() { Some(1440) } else { minutes(time) };
        errors.check(of_day.is_some(), "closes_time", "A time such as 21:00, or nothing for the end of the day.");
        Some(days? * 1440 + of_day?)
    }
}

fn number(text: &str, low: f64, high: f64) -> Option<f64> {
    text.trim().replace(',', ".").parse().ok().filter(|n: &f64| (low..=high).contains(n))
}

fn minutes(time: &str) -> Option<i64> {
    let (h, m) = time.split_once(':')?;
    let (h, m): (i64, i64) = (h.parse().ok()?, m.get(..2)?.parse().ok()?);
    ((0..24).contains(&h) && (0..60).contains(&m)).then_some(h * 60 + m)
}

/// `GET /groups/{id}/board-rules`
///
/// # Errors
/// No such group.
pub async fn show_group_rules(
    State(app): State<App>,
    Staff(coach): Staff,
    Path(id): Path<i64>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let group = app.store.group(GroupId(id)).await?;
    let rules = app.store.group_rules(group.id).await?;
    let frame = Frame::of(&coach, format!("Rules of the boards: {}", group.name), "groups").saying(q.said.as_deref());
    Ok(page(frame, (format!("/groups/{id}"), group.name), rules, false, None).into_response())
}

/// `POST /groups/{id}/board-rules`
///
/// # Errors
/// No such group; wrong fields come back with the form.
pub async fn save_group_rules(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Form(form): Form<RulesForm>,
) -> Result<Response, Error> {
    let group = app.store.group(GroupId(id)).await?;
    let mut errors = Errors::default();
    let policy = form.read(&mut errors);
    if errors.is_empty() {
        app.store.save_group_rules(group.id, &policy, coach.id, app.clock.now()).await?;
        return Ok(Redirect::to(&format!("/groups/{id}/board-rules?said=saved")).into_response());
    }
    let rules = app.store.group_rules(group.id).await?;
    let frame = Frame::of(&coach, format!("Rules of the boards: {}", group.name), "groups");
    let page = page(frame, (format!("/groups/{id}"), group.name), rules, false, Some((form, errors)));
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

/// `GET /sessions/{id}/parts/{part}/board-rules`
///
/// # Errors
/// A session or part that is not there.
pub async fn show_part_rules(
    State(app): State<App>,
    Staff(coach): Staff,
    Path((id, part)): Path<(i64, usize)>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let shown = version_for(&app, &coach, SessionId(id)).await?;
    let it = shown.session.parts.get(part).ok_or(Error::NotFound)?;
    let rules = app.store.board_rules(shown.group_id, shown.session_id, part).await?;
    let frame = Frame::of(&coach, format!("Rules of this board: {}", it.name), "week").saying(q.said.as_deref());
    Ok(page(frame, (format!("/sessions/{id}/parts/{part}/board"), wording::part(it)), rules, true, None).into_response())
}

/// `POST /sessions/{id}/parts/{part}/board-rules`
///
/// # Errors
/// A session or part that is not there; wrong fields come back with the form.
pub async fn save_part_rules(
    State(app): State<App>,
    Coach(coach): Coach,
    Path((id, part)): Path<(i64, usize)>,
    Form(form): Form<RulesForm>,
) -> Result<Response, Error> {
    let shown = version_for(&app, &coach, SessionId(id)).await?;
    let it = shown.session.parts.get(part).ok_or(Error::NotFound)?;
    let (session, now) = (shown.session_id, app.clock.now());
    let mut errors = Errors::default();
    let policy = if form.reset.is_some() { None } else { Some(form.read(&mut errors)) };
    if errors.is_empty() {
        app.store.save_part_rules(session, part, policy.as_ref(), coach.id, now).await?;
        return Ok(Redirect::to(&format!("/sessions/{id}/parts/{part}/board-rules?said=saved")).into_response());
    }
    let rules = app.store.board_rules(shown.group_id, session, part).await?;
    let frame = Frame::of(&coach, format!("Rules of this board: {}", it.name), "week");
    let back = (format!("/sessions/{id}/parts/{part}/board"), wording::part(it));
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(frame, back, rules, true, Some((form, errors)))).into_response())
}

fn page(
    frame: Frame,
    (back, back_words): (String, String),
    rules: Rules,
    part: bool,
    typed: Option<(RulesForm, Errors)>,
) -> RulesPage {
    let (form, errors) = typed.unwrap_or_else(|| (RulesForm::of(&rules.policy), Errors::default()));
    RulesPage { frame, back, back_words, form, errors, sentences: rules.policy.sentences(), own: rules.own, part }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(form: &RulesForm) -> (Policy, Errors) {
        let mut errors = Errors::default();
        (form.read(&mut errors), errors)
    }

    #[test]
    fn rules_go_through_the_form_and_back() {
        for policy in [
            Policy::default(),
            Policy { closes_min: Some(2 * 1440), late: Late::Counts, ..Policy::default() },
            Policy { closes_min: Some(21 * 60), tie_break: TieBreak::Clock("the clock".to_owned()), ..Policy::default() },
            Policy { attempts: Attempts::Best, one_list: true, across_groups: true, load_step_kg: 1.0, ..Policy::default() },
        ] {
            let (back, errors) = read(&RulesForm::of(&policy));
            assert!(errors.is_empty(), "{errors:?}");
            assert_eq!(back, policy);
        }
    }

    #[test]
    fn a_time_without_a_day_and_a_clock_without_words_are_asked_about() {
        let form = RulesForm { closes_time: "21:00".to_owned(), tie: "clock".to_owned(), ..RulesForm::of(&Policy::default()) };
        let (_, errors) = read(&form);
        assert!(errors.of("closes_days").is_some() && errors.of("tie_words").is_some());
    }
}
