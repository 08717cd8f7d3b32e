//! What an edit of a session changes for whoever does it, in short plain lines.

use super::same_part;
use super::session::{Line, Part, Session};
use super::wording;
use std::collections::VecDeque;

/// Most lines that members read of an edit.
const MOST: usize = 6;

/// The differences as members read them where the coach says nothing: the first few, and how many more there are.
#[must_use]
pub fn in_short(before: &Session, after: &Session) -> Vec<String> {
    let mut lines = between(before, after);
    let more = lines.len().saturating_sub(MOST);
    if more > 1 {
        lines.truncate(MOST);
        lines.push(format!("And {more} more changes."));
    }
    lines
}

/// What is different in `after`, in its order; nothing where the same is done in the same way.
#[must_use]
pub fn between(before: &Session, after: &Session) -> Vec<String> {
    // where it stands in the text is not what is done
    let (before, after) = (&before.clone().placeless(), &after.clone().placeless());
    let mut said = Vec::new();
    let mut old: Vec<Option<&Part>> = before.parts.iter().map(Some).collect();
    let places = same_part::places(&before.parts.iter().collect::<Vec<_>>(), &[], &after.parts);
    let pairs: Vec<(&Part, Option<usize>)> = after.parts.iter().zip(places).collect();
    for (_, at) in &pairs {
        if let Some(at) = at {
            old[*at] = None;
        }
    }
    said.extend(old.into_iter().flatten().map(|gone| format!("{} is left out.", wording::part(gone))));
    for (part, at) in &pairs {
        match at {
            Some(at) => said.extend(in_part(&before.parts[*at], part)),
            None => said.push(format!("{} is new.", wording::part(part))),
        }
    }
    let order: Vec<usize> = pairs.iter().filter_map(|(_, at)| *at).collect();
    if !order.is_sorted() {
        said.push("The parts stand in another order.".to_owned());
    }
    if before.title != after.title && !after.title.is_empty() {
        said.push(format!("It is called {} now.", after.title));
    }
    if before.aim != after.aim {
        said.extend(after.aim.as_deref().map(|aim| format!("The aim: {}", wording::aim(aim))));
    }
    if before.notes != after.notes {
        said.push("The coach\u{2019}s notes are different.".to_owned());
    }
    said
}

/// What is different in a part, each line with its name in front.
fn in_part(before: &Part, after: &Part) -> Vec<String> {
    let (was, now) = (wording::part(before), wording::part(after));
    let mut said = Vec::new();
    if was != now {
        said.push(format!("{was} is called {now} now."));
    }
    let mut add = |words: String| said.push(format!("{now}: {words}"));
    organised(before, after).into_iter().for_each(&mut add);
    lines(&before.lines, &after.lines).into_iter().for_each(&mut add);
    if before.score != after.score {
        add(match wording::score(after.score) {
            Some(kind) => format!("the score is {kind} now."),
            None => "nothing is scored now.".to_owned(),
        });
    }
    if before.intent != after.intent {
        add(format!("it is meant as {} now, not as {}.", wording::intent(after.intent), wording::intent(before.intent)));
    }
    if before.options != after.options {
        add("the other versions are different.".to_owned());
    }
    if (&before.score_rule, &before.tie_break) != (&after.score_rule, &after.tie_break) {
        add("how the score is taken is different.".to_owned());
    }
    if before.notes != after.notes {
        add("the notes are different.".to_owned());
    }
    said
}

/// Rounds, clock, cap and rest.
fn organised(before: &Part, after: &Part) -> Option<String> {
    if wording::format(before) == wording::format(after) {
        return None;
    }
    let capless = |p: &Part| wording::format(&Part { time_cap_s: None, ..p.clone() });
    let restless = |p: &Part| wording::format(&Part { rest_s: None, ..p.clone() });
    let alone = |p: &Part, bare: String| wording::format(p).replacen(&bare, "", 1).trim_matches([',', ' ']).to_owned();
    let change = |was: String, now: String| match (was.is_empty(), now.is_empty()) {
        (_, true) => format!("no {was} any more."),
        (true, _) => format!("{now}, new."),
        _ => format!("{now}; it was {was}."),
    };
    if capless(before) == capless(after) {
        let cap = |p: &Part| p.time_cap_s.map(|s| format!("cap {}", wording::seconds(s))).unwrap_or_default();
        return Some(change(cap(before), cap(after)));
    }
    if restless(before) == restless(after) {
        return Some(change(alone(before, restless(before)), alone(after, restless(after))));
    }
    Some(change(wording::format(before), wording::format(after)))
}

/// What is new, gone, or done in another amount. A line is the same where its movement is.
fn lines(before: &[Line], after: &[Line]) -> Vec<String> {
    let mut old: VecDeque<(usize, &Line)> = before.iter().enumerate().collect();
    let mut said = Vec::new();
    let (mut order, mut fresh) = (Vec::new(), Vec::new());
    for line in after {
        let same = old.iter().position(|(_, was)| wording::movement(was) == wording::movement(line));
        let Some((at, was)) = same.and_then(|i| old.remove(i)) else {
            fresh.push(line);
            continue;
        };
        order.push(at);
        let (then, now) = (wording::whole_line(was), wording::whole_line(line));
        if then != now {
            said.push(format!("{now}; it was {then}."));
        } else if was.note != line.note {
            said.push(format!("the words to {} are different.", wording::movement(line)));
        }
    }
    match (&fresh[..], old.len()) {
        ([line], 1) => said.push(format!("{} in the place of {}.", wording::whole_line(line), wording::whole_line(old[0].1))),
        _ => {
            said.extend(old.iter().map(|(_, gone)| format!("without {}.", wording::whole_line(gone))));
            said.extend(fresh.iter().map(|line| format!("{}, new.", wording::whole_line(line))));
        }
    }
    if !order.is_sorted() {
        said.push("in another order.".to_owned());
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::writeup;

    fn said(before: &str, after: &str) -> Vec<String> {
        let read = |text: &str| writeup::read(text, super::super::movement::Library::shipped());
        between(&read(before), &read(after))
    }

    const DAY: &str = "Harbour\n\nA. Back squat\n5 x 5 @ 60 kg, rest 2:00\n\nB. Lamp room\n3 rounds for time, cap 14:00\n15 dumbbell thrusters, 15 kg\n9 pull-ups\n400 m run\n";

    fn edited(from: &str, to: &str) -> Vec<String> {
        assert!(DAY.contains(from), "{from}");
        said(DAY, &DAY.replace(from, to))
    }

    #[test]
    fn the_same_is_nothing() {
        assert_eq!(said(DAY, DAY), Vec::<String>::new());
    }

    #[test]
    fn a_cap_a_rest_and_a_load_are_said_with_what_they_were() {
        assert_eq!(edited("cap 14:00", "cap 16:00"), ["B. Lamp room: cap 16 min; it was cap 14 min."]);
        assert_eq!(edited("rest 2:00", "rest 3:00"), ["A. Back squat: rest 3 min; it was rest 2 min."]);
        assert_eq!(
            edited("thrusters, 15 kg", "thrusters, 10 kg"),
            ["B. Lamp room: 15 dumbbell thruster, 10 kg; it was 15 dumbbell thruster, 15 kg."]
        );
    }

    #[test]
    fn a_line_that_is_gone_new_or_another_is_said() {
        assert_eq!(edited("400 m run\n", ""), ["B. Lamp room: without 400 m run."]);
        assert_eq!(edited("400 m run\n", "400 m run\n10 burpees\n"), ["B. Lamp room: 10 burpee, new."]);
        assert_eq!(edited("9 pull-ups", "9 push-ups"), ["B. Lamp room: 9 push-up in the place of 9 pull-up."]);
    }

    #[test]
    fn of_many_changes_the_first_few_are_said_and_how_many_more() {
        let read = |text: &str| writeup::read(text, super::super::movement::Library::shipped());
        let many = (1..=8).fold(DAY.to_owned(), |all, n| format!("{all}\nPart {n}\n3 x 30 s plank\n"));
        let said = in_short(&read(DAY), &read(&many));
        assert_eq!((said.len(), said[6].as_str()), (7, "And 2 more changes."), "{said:?}");
    }

    #[test]
    fn a_part_that_only_moves_down_the_page_is_not_different() {
        let day = format!("{DAY}\nor shorter: 9 thrusters, 5 pull-ups\n");
        assert_eq!(
            said(&day, &day.replace("\nB. Lamp room", "\nC. Plank\n3 x 30 s plank\n\nB. Lamp room")),
            ["C. Plank is new."]
        );
    }

    #[test]
    fn parts_that_come_and_go_are_named() {
        let more = format!("{DAY}\nC. Plank\n3 x 30 s plank\n");
        assert_eq!(said(DAY, &more), ["C. Plank is new."]);
        assert_eq!(said(&more, DAY), ["C. Plank is left out."]);
    }
}
