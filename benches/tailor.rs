//! How long tailoring takes: a large group's week before it is published, and one member's day.
//!
//! Goals, on one core: ten thousand members with two thousand different homes against seven days of twenty-five lines in a
//! second; one member's day in two milliseconds, with the library still to be indexed.

use divan::{Bencher, black_box};
use dowel::training::member::Profile;
use dowel::training::movement::{Demand, Library};
use dowel::training::session::Session;
use dowel::training::tailor::{Group, Tailor, tailor};
use dowel::training::writeup;

fn main() {
    divan::main();
}

/// Twenty-five lines of every purpose: kit and no kit, loads and percents, jumps, hangs, machines.
const DAY: &str = "Tide table

Warm-up, 2 rounds
10 air squats
10 shoulder dislocates
20 s deep squat hold
10 glute bridges
30 s plank

Technique: 5 sets
3 hang power cleans, empty bar
3 front squats, empty bar

Strength: back squat 5 x 5 @ 75%
Strength: bench press 5 x 5 @ 70 kg
Strength: pull-up 4 x 6
Strength: romanian deadlift 3 x 8 @ 60 kg
Strength: dumbbell push press 3 x 8 @ 15 kg
Strength: ring row 3 x 10

For time, 3 rounds
400 m run
15 thrusters, 30/20 kg
12 pull-ups
20 box jumps
30 double-unders
10 burpees
12 kettlebell swings, 24/16 kg

AMRAP 8
10 dumbbell snatches, 15 kg
10 push-ups
12 cal row
20 walking lunges

Cool-down
60 s couch stretch
";

/// Homes that differ in kit, loads, limits, level and maxes, by their number.
fn home(n: usize) -> Profile {
    let item = |bit: usize, json: String| ((n >> bit) & 1 == 1).then_some(json);
    let kg = |steps: usize, of: usize| 4 + 2 * (n / steps % of);
    let kit = [
        item(0, format!(r#"{{"item":"dumbbell","kg":[{}],"count":{}}}"#, kg(3, 10), 1 + n % 2)),
        item(1, format!(r#"{{"item":"kettlebell","kg":[{}]}}"#, kg(7, 12))),
        item(
            2,
            format!(r#"{{"item":"barbell","kg":[20],"plates_kg_pairs":[20,15,10,5,2.5,1.25],"rack":{}}}"#, n.is_multiple_of(3)),
        ),
        item(3, r#"{"item":"pullup_bar"}"#.to_owned()),
        item(4, r#"{"item":"band","tension":"medium","anchor":true}"#.to_owned()),
        item(5, r#"{"item":"stick"}"#.to_owned()),
        item(6, r#"{"item":"box"}"#.to_owned()),
        item(7, format!(r#"{{"item":"backpack","kg":[{}]}}"#, kg(11, 8))),
        item(8, r#"{"item":"rope"}"#.to_owned()),
        item(9, r#"{"item":"chair"}"#.to_owned()),
    ];
    let kit: Vec<String> = kit.into_iter().flatten().collect();
    let limits = Demand::ALL;
    let avoid = if n.is_multiple_of(5) { vec![limits[n % limits.len()].key()] } else { Vec::new() };
    let level = ["beginner", "intermediate", "advanced"][n % 3];
    let max = 60 + n % 97;
    let json =
        format!(r#"{{"kit":[{}],"avoid":{avoid:?},"level":"{level}","known_maxes_kg":{{"back squat":{max}}}}}"#, kit.join(","));
    serde_json::from_str(&json).unwrap_or_else(|e| panic!("home {n}: {e}"))
}

fn day() -> Session {
    let session = writeup::read(DAY, Library::shipped());
    let lines: usize = session.parts.iter().map(|p| p.lines.len()).sum();
    assert!(lines >= 25, "{lines} lines");
    session
}

/// Ten thousand members x seven days x twenty-five lines; the homes are told apart inside what is measured.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn a_week_of_ten_thousand_members(bencher: Bencher<'_, '_>) {
    let week = vec![day(); 7];
    let homes: Vec<Profile> = (0..2000).map(home).collect();
    let members: Vec<Profile> = (0..10_000).map(|m| homes[m * 7 % 2000].clone()).collect();
    assert_eq!(Group::new(members.iter().cloned()).profiles(), 2000);
    bencher.with_inputs(|| members.clone()).bench_local_values(|members| {
        let group = Group::new(members);
        let tailor = Tailor::new(Library::shipped());
        black_box(week.iter().map(|s| tailor.coverage(s, &group).fully_served).sum::<usize>())
    });
}

/// One member's day, the library indexed anew.
#[divan::bench(sample_count = 100, sample_size = 1)]
fn a_day_of_one_member_cold(bencher: Bencher<'_, '_>) {
    let (session, who) = (day(), home(1023));
    bencher.bench_local(|| black_box(Tailor::new(Library::shipped()).tailor(black_box(&session), black_box(&who))));
}

/// The same with the library indexed once.
#[divan::bench(sample_count = 100, sample_size = 1)]
fn a_day_of_one_member_warm(bencher: Bencher<'_, '_>) {
    let (session, who) = (day(), home(1023));
    bencher.bench_local(|| black_box(tailor(black_box(&session), black_box(&who), Library::shipped())));
}
