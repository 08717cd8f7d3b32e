//! Best lifts count everything that was ever lifted, logged here or brought in.

use crate::practice::{NOW, Practice, attributes, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::past::PastResult;
use dowel::store::results::NewResult;
use dowel::training::score::{Lift, MassUnit, Score};
use dowel::training::session::ScoreKind;
use time::macros::date;
use time::{Date, Duration};

struct Shelf {
    practice: Practice,
    coach: PersonId,
    group: GroupId,
    ines: PersonId,
}

impl Shelf {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        Self { practice, coach, group, ines }
    }

    async fn lifted(&self, at: Place, kg: f64, reps: u32, day: Date) {
        let lifts = serde_json::json!({"kind": "load", "lifts": [{"weight": kg, "unit": "kg", "reps": reps}]});
        let text = format!("{kg} kg x {reps}");
        let new = NewResult { part: 0, score: Some(lifts), done_on: day, ..timed(at, &text, &text, 0.0) };
        log(&self.practice, self.ines, &new).await;
    }

    async fn brought_in(&self, title: &str, movement: Option<&str>, kg: f64, reps: Option<u32>) {
        let lift = Lift { weight: kg, unit: Some(MassUnit::Kg), reps, implements: 1, added: false };
        let past = PastResult {
            day: date!(2019 - 03 - 01),
            title: title.to_owned(),
            kind: ScoreKind::Load,
            score_text: format!("{kg} kg"),
            score: Score::Load { lifts: vec![lift] },
            note: String::new(),
            movement: movement.map(str::to_owned),
            beside: "as written".to_owned(),
        };
        self.practice.app.store.import_past(&[(self.ines, past)], self.coach, NOW).await.unwrap();
    }

    async fn lifts(&self) -> Vec<String> {
        let page = self.practice.as_person(self.ines).await.get("/history").await;
        texts(&page, "[aria-label='Your lifts'] tbody th, [aria-label='Your lifts'] tbody td")
    }
}

#[tokio::test]
async fn a_best_of_long_ago_counts_behind_hundreds_of_newer_results() {
    let s = Shelf::new().await;
    let long_ago = DAY - Duration::days(3 * 365);
    let old = publish(&s.practice, s.group, s.coach, long_ago, slow_then_fast()).await;
    s.lifted(old, 100.0, 3, long_ago).await;
    let at = publish(&s.practice, s.group, s.coach, DAY, slow_then_fast()).await;
    for n in 0..520_usize {
        let new = NewResult { part: n + 2, ..timed(at, &n.to_string(), "8:00", 480.0) };
        log(&s.practice, s.ines, &new).await;
    }
    s.lifted(at, 80.0, 5, DAY).await;
    // Epley 100 x (1 + 3/30) = 110, Brzycki 100 x 36/34 = 105.9
    assert_eq!(s.lifts().await, ["goblet squat", "100 kg x 3Sun 26 Nov 2023", "106 to 110 kg"]);
    let page = s.practice.as_person(s.ines).await.get("/history/lifts/goblet%20squat").await;
    let cells = texts(&page, "main section:first-of-type tbody th, main section:first-of-type tbody td");
    assert_eq!(cells, ["3", "100 kg x 3", "Sun 26 Nov 2023", "5", "80 kg x 5", "Wed 25 Nov"]);
}

#[tokio::test]
async fn a_lift_from_before_counts_by_its_movement_or_by_its_title() {
    let s = Shelf::new().await;
    s.brought_in("Front squat", None, 90.0, Some(2)).await;
    s.brought_in("Tuesday heavy", Some("deadlift"), 140.0, None).await;
    s.brought_in("Tuesday odd", None, 300.0, Some(1)).await;
    let lifts = s.lifts().await;
    // Epley 90 x (1 + 2/30) = 96, Brzycki 90 x 36/35 = 92.6; without reps nothing is estimated
    let words = ["deadlift", "140 kgFri 1 Mar 2019", "–", "front squat", "90 kg x 2Fri 1 Mar 2019", "93 to 96 kg"];
    assert_eq!(lifts, words, "a title that is no movement counts for none");
    let page = s.practice.as_person(s.ines).await.get("/history/lifts/front%20squat").await;
    assert_eq!(texts(&page, "#sets .note"), ["from before Dowel"]);
    assert!(attributes(&page, "#sets a", "href").is_empty());
}

#[tokio::test]
async fn what_was_taken_back_is_no_best() {
    let s = Shelf::new().await;
    let at = publish(&s.practice, s.group, s.coach, DAY, slow_then_fast()).await;
    s.lifted(at, 100.0, 3, DAY).await;
    let id = s.practice.app.store.history(s.ines, None, 1).await.unwrap()[0].result.id;
    s.practice.app.store.withdraw_result(s.ines, id, NOW).await.unwrap();
    assert!(s.lifts().await.is_empty());
}

#[tokio::test]
async fn what_is_hard_to_believe_is_no_best_and_no_max_until_the_coach_has_looked_at_it() {
    let s = Shelf::new().await;
    let at = publish(&s.practice, s.group, s.coach, DAY, slow_then_fast()).await;
    let lifts = serde_json::json!({"kind": "load", "lifts": [{"weight": 875.0, "unit": "kg", "reps": 3}]});
    let doubt = Some("The known max is 105 kg. Is that right?".to_owned());
    let odd = NewResult { part: 0, score: Some(lifts), doubt, ..timed(at, "odd", "875 kg x 3", 0.0) };
    let id = log(&s.practice, s.ines, &odd).await;
    assert!(s.lifts().await.is_empty());
    let page = s.practice.as_person(s.ines).await.get("/history/lifts/goblet%20squat").await;
    assert!(texts(&page, "#sets .entry")[0].contains("875 kg x 3 Hard to believe"), "{:?}", texts(&page, "#sets .entry"));
    assert!(texts(&page, "form[action='/you/maxes']").is_empty());
    s.practice.app.store.mark_seen(id, s.coach, NOW).await.unwrap();
    assert_eq!(s.lifts().await[1], "875 kg x 3Wed 25 Nov");
}
