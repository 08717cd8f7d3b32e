//! One effort for a line, and a weight with a name.

use crate::training::dose::Load;
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::tailor::{TailoredLine, tailor};
use crate::training::writeup;

fn first(text: &str, kit: &str) -> TailoredLine {
    let who: Profile = serde_json::from_str(&format!(r#"{{"kit":[{kit}],"level":"intermediate"}}"#)).unwrap();
    tailor(&writeup::read(text, Library::shipped()), &who, Library::shipped()).parts.remove(0).lines.remove(0)
}

const TWO: &str = r#"{"item":"dumbbell","kg":[12,22.5]}"#;
const TANK: &str = "Back squat\nleave 2 in the tank\n10-10-8-8-8\n3 s down\n";

/// How often a reason or a load tells how hard it is.
fn efforts(done: &TailoredLine) -> usize {
    let load = match &done.given[0].load {
        Some(Load::Find(words)) => words.clone(),
        _ => String::new(),
    };
    let all = format!("{} {load}", done.why);
    ["left", "leaves", "RPE", "reserve"].iter().map(|w| all.matches(w).count()).sum()
}

#[test]
fn two_dumbbells_name_one_and_tell_the_coachs_effort_once() {
    let done = first(TANK, TWO);
    assert_eq!(done.given[0].load, Some(Load::kg(22.5)));
    assert!(done.why.contains("the 22.5 kg dumbbell") && done.why.contains("with 2 reps left"), "{}", done.why);
    assert!(done.why.contains("Take the 12 kg") && !done.why.contains("small jumps"), "{}", done.why);
    assert_eq!(efforts(&done), 1, "{}", done.why);
}

#[test]
fn a_rack_of_dumbbells_is_looked_through_for_the_coachs_effort() {
    let done = first("Back squat 5 x 5 @ RPE 8\n", r#"{"item":"dumbbell","kg":[10,12.5,15,17.5,20,22.5],"count":2}"#);
    assert_eq!(
        (done.given[0].load.clone(), efforts(&done)),
        (Some(Load::Find("the weight that ends a set at RPE 8".to_owned())), 1)
    );
}

#[test]
fn small_jumps_are_for_a_bar_that_has_them() {
    let bar = |plates: &str| format!(r#"{{"item":"barbell","kg":[20],"plates_kg_pairs":[{plates}],"rack":true}}"#);
    let jumps = |plates: &str| first("Back squat 5 x 5 @ 75%\n", &bar(plates)).why.contains("small jumps");
    assert!(jumps("20,10,5,2.5") && !jumps("20"));
}

#[test]
fn words_beside_the_line_are_the_coachs_effort_too() {
    let done = first("Back squat 5x5 @ 70% (RPE 7)\n", TWO);
    assert!(done.why.contains("at RPE 7") && !done.why.contains("1-3 reps left"), "{}", done.why);
}

#[test]
fn a_bag_that_stands_in_for_the_own_weight_is_named_packed_full_and_may_be_packed_lighter() {
    let done = first("Chin-up 4 x 6\n", r#"{"item":"backpack","kg":[12]}"#);
    assert_eq!(done.given[0].load, Some(Load::kg(12.0)));
    assert!(done.why.contains("with the 12 kg backpack") && done.why.ends_with("Pack less."), "{}", done.why);
}

#[test]
fn what_is_held_is_named_where_neither_a_weight_nor_the_movement_says_it() {
    let done = first("Chin-up 4 x 6\n", r#"{"item":"backpack"}"#);
    assert!(done.why.contains("so single-arm row with the backpack:"), "{}", done.why);
}
