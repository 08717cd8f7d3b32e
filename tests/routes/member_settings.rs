//! Joining and a member's own settings: kit, limits, cautions, name and units.

use crate::practice::{NOW, Practice, attributes, location, texts};
use dowel::store::ids::PersonId;
use dowel::store::people::{Person, Units};
use dowel::training::member::Level;
use dowel::training::movement::Demand;
use time::Duration;

async fn ines(practice: &Practice) -> PersonId {
    let group = practice.group("Harbour").await;
    practice.member("Ines", group).await
}

#[tokio::test]
async fn strangers_and_coaches_have_no_member_settings() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let coach = practice.as_person(coach).await;
    for address in ["/welcome/kit", "/welcome/limits", "/welcome/cautions", "/you", "/you/kit", "/you/limits"] {
        let response = practice.browser().get(address).await;
        assert_eq!(response.status_code(), 303, "{address}");
        assert!(location(&response).starts_with("/sign-in"), "{address}");
        assert_eq!(coach.get(address).await.status_code(), 404, "{address}");
    }
    assert_eq!(coach.post("/you/kit").form(&[("has", "stick")]).await.status_code(), 404);
    assert_eq!(practice.browser().post("/you/kit/still-true").await.status_code(), 303);
}

#[tokio::test]
async fn joining_leads_from_kit_over_limits_to_the_cautions_and_then_to_today() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    practice.app.store.accept_cautions(id, 0, NOW).await.unwrap();
    let browser = practice.as_person(id).await;
    assert_eq!(location(&browser.get("/you").await), "/welcome/cautions");
    assert_eq!(texts(&browser.get("/welcome/kit").await, "[aria-current=step]"), ["Kit"]);
    let form = [("dumbbells", "10, 15"), ("has", "stick"), ("has", "chair"), ("home", "noise"), ("level", "intermediate")];
    assert_eq!(location(&browser.post("/welcome/kit").form(&form).await), "/welcome/limits");
    let form = [("avoid", "overhead"), ("note", "new to this")];
    assert_eq!(location(&browser.post("/welcome/limits").form(&form).await), "/welcome/cautions");
    assert_eq!(location(&browser.post("/welcome/cautions").form(&[("accept", "on")]).await), "/today");
    let person = practice.app.store.person(id).await.unwrap();
    assert_eq!(person.kit.iter().map(|k| k.item.as_str()).collect::<Vec<_>>(), ["dumbbell", "stick", "chair"]);
    assert_eq!(person.avoid, [Demand::Overhead, Demand::Noise]);
    assert_eq!(person.level, Level::Intermediate);
    assert_eq!(person.cautions_at, Some(NOW));
    assert_eq!(practice.app.store.private_note(id).await.unwrap().as_deref(), Some("new to this"));
}

#[tokio::test]
async fn who_left_off_in_joining_goes_on_with_the_first_step_that_is_not_done() {
    let practice = Practice::new().await;
    let id = practice.newcomer("Nele").await;
    let browser = practice.as_person(id).await;
    assert_eq!(location(&browser.get("/today").await), "/welcome/kit");
    browser.post("/welcome/kit").form(&[("has", "stick")]).await;
    assert_eq!(location(&browser.get("/today").await), "/welcome/limits");
    browser.post("/welcome/limits").form(&[("note", "")]).await;
    browser.post("/welcome/cautions").form(&[("accept", "on")]).await;
    assert_eq!(browser.get("/today").await.status_code(), 200);
}

#[tokio::test]
async fn cautions_are_accepted_by_a_tick_and_not_without() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    practice.app.store.accept_cautions(id, 0, NOW).await.unwrap();
    let browser = practice.as_person(id).await;
    let response = browser.post("/welcome/cautions").form(&[("x", "")]).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, "#accept-error").len()), (422, 1));
    assert_eq!(practice.app.store.person(id).await.unwrap().cautions_version, Some(0));
}

#[tokio::test]
async fn a_weight_that_is_none_is_said_beside_it_and_everything_typed_stays() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    let form = [("dumbbells", "10, 1s"), ("kettlebells", "16"), ("has", "stick"), ("home", "ceiling")];
    let response = browser.post("/you/kit").form(&form).await;
    assert_eq!(response.status_code(), 422);
    assert!(texts(&response, "#dumbbells-error")[0].contains("1s"));
    assert_eq!(attributes(&response, "#dumbbells, #kettlebells", "value"), ["10, 1s", "16"]);
    assert_eq!(attributes(&response, "input[checked]", "value"), ["stick", "ceiling"]);
    assert!(practice.app.store.person(id).await.unwrap().kit.is_empty());
}

#[tokio::test]
async fn the_kit_is_shown_as_it_was_typed_in_the_readers_unit() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let person = practice.app.store.person(id).await.unwrap();
    practice.app.store.save_person(&Person { units: Units::Lb, ..person }).await.unwrap();
    let browser = practice.as_person(id).await;
    let form = [("dumbbell_pairs", "25, 35"), ("bar_weight", "20 kg"), ("plates", "45, 10"), ("rack", "on"), ("band", "heavy")];
    assert_eq!(location(&browser.post("/you/kit").form(&form).await), "/you?said=saved");
    let response = browser.get("/you/kit").await;
    assert_eq!(attributes(&response, "#dumbbell_pairs, #bar_weight, #plates", "value"), ["25, 35", "20 kg", "45, 10"]);
    let kit = practice.app.store.person(id).await.unwrap().kit;
    assert_eq!((kit[0].lb.as_slice(), kit[0].count, kit[1].kg.as_slice()), ([25.0, 35.0].as_slice(), Some(2), [20.0].as_slice()));
}

#[tokio::test]
async fn what_the_home_asks_and_what_the_body_asks_do_not_overwrite_each_other() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    browser.post("/you/limits").form(&[("avoid", "kneeling"), ("avoid", "ceiling")]).await;
    browser.post("/you/kit").form(&[("home", "space")]).await;
    assert_eq!(practice.app.store.person(id).await.unwrap().avoid, [Demand::Kneeling, Demand::Space]);
    browser.post("/you/limits").form(&[("note", "")]).await;
    assert_eq!(practice.app.store.person(id).await.unwrap().avoid, [Demand::Space]);
}

#[tokio::test]
async fn a_note_that_a_person_must_decide_on_reaches_the_coach_at_once_and_once() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    for _ in 0..2 {
        let response = browser.post("/you/limits").form(&[("note", "12 weeks pregnant, not told anyone yet")]).await;
        assert_eq!(location(&response), "/you?said=told");
    }
    browser.post("/you/limits").form(&[("note", "I like early mornings")]).await;
    let open = practice.app.store.open_questions().await.unwrap();
    let told: Vec<_> = open.iter().filter(|q| q.person_id == id && q.pain).map(|q| q.text.as_str()).collect();
    assert_eq!(told, ["12 weeks pregnant, not told anyone yet"]);
}

#[tokio::test]
async fn any_other_private_word_reaches_the_coach_once_and_says_so() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    let save = async || location(&browser.post("/you/limits").form(&[("note", "I like early mornings")]).await);
    assert_eq!(save().await, "/you?said=passed_on");
    assert_eq!(save().await, "/you?said=saved");
    let open = practice.app.store.open_questions().await.unwrap();
    let words: Vec<_> = open.iter().filter(|q| q.person_id == id && !q.pain).map(|q| q.text.as_str()).collect();
    assert_eq!(words, ["I like early mornings"]);
}

#[tokio::test]
async fn joining_asks_which_of_two_loads_is_theirs_and_takes_the_lighter_until_told() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    assert_eq!(attributes(&browser.get("/welcome/kit").await, "[name=column][checked]", "value"), ["2"]);
    assert_eq!(texts(&browser.get("/you/kit").await, "[name=column]").len(), 0);
    browser.post("/welcome/kit").form(&[("column", "2")]).await;
    assert_eq!(practice.app.store.person(id).await.unwrap().load_column, 2);
    browser.post("/you/kit").form(&[("dumbbells", "10")]).await;
    assert_eq!(practice.app.store.person(id).await.unwrap().load_column, 2);
}

#[tokio::test]
async fn a_note_that_is_too_long_comes_back_whole() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    let long = "a".repeat(2001);
    let response = browser.post("/you/limits").form(&[("note", long.as_str()), ("avoid", "impact")]).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, "#note").concat().len()), (422, 2001));
    assert_eq!(attributes(&response, "input[checked]", "value"), ["impact"]);
}

#[tokio::test]
async fn an_old_kit_is_asked_about_and_confirmed_in_one_tap() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    browser.post("/you/kit").form(&[("has", "stick")]).await;
    let still_true = "form[action='/you/kit/still-true']";
    assert!(texts(&browser.get("/you").await, still_true).is_empty());
    practice.app.clock.set(NOW + Duration::days(31));
    assert_eq!(texts(&browser.get("/you").await, still_true).len(), 1);
    let back = browser.post("/you/kit/still-true").form(&[("back", "//elsewhere.example")]).await;
    assert_eq!(location(&back), "/");
    assert!(texts(&browser.get("/you").await, still_true).is_empty());
    assert_eq!(practice.app.store.person(id).await.unwrap().kit[0].item, "stick");
}

#[tokio::test]
async fn name_zone_units_and_column_are_saved() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    let form = [("name", "Ines A"), ("nickname", "Nessie"), ("zone", "pacific/auckland"), ("units", "lb"), ("column", "2")];
    assert_eq!(location(&browser.post("/you").form(&form).await), "/you?said=saved");
    let person = practice.app.store.person(id).await.unwrap();
    assert_eq!(
        (person.name.as_str(), person.nickname.as_deref(), person.zone.name()),
        ("Ines A", Some("Nessie"), "Pacific/Auckland")
    );
    assert_eq!((person.units, person.load_column, person.shown), (Units::Lb, 2, false));
    assert_eq!(texts(&browser.get("/you?said=saved").await, ".said"), ["Saved."]);
}

#[tokio::test]
async fn a_zone_is_found_from_a_city() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    for (typed, zone) in [("Lisbon", "Europe/Lisbon"), ("new york", "America/New_York")] {
        assert_eq!(location(&browser.post("/you").form(&[("name", "Ines"), ("zone", typed)]).await), "/you?said=saved");
        assert_eq!(practice.app.store.person(id).await.unwrap().zone.name(), zone);
    }
}

#[tokio::test]
async fn a_wrong_zone_is_said_beside_it() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    let response = browser.post("/you").form(&[("name", "Ines"), ("zone", "Nowhere")]).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, "#zone-error").len()), (422, 1));
    assert_eq!(attributes(&response, "#zone", "value"), ["Nowhere"]);
}

#[tokio::test]
async fn the_level_is_changed_under_you_and_stays_where_it_is_not_said() {
    let practice = Practice::new().await;
    let id = ines(&practice).await;
    let browser = practice.as_person(id).await;
    assert_eq!(attributes(&browser.get("/you").await, "input[name=level][checked]", "value"), ["beginner"]);
    for (said, is) in [("advanced", Level::Advanced), ("wizard", Level::Advanced), ("beginner", Level::Beginner)] {
        let form = [("name", "Ines"), ("zone", "UTC"), ("level", said)];
        assert_eq!(browser.post("/you").form(&form).await.status_code(), 303);
        assert_eq!(practice.app.store.person(id).await.unwrap().level, is, "{said}");
    }
}

#[tokio::test]
async fn a_nickname_that_somebody_goes_by_is_not_taken_twice() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    practice.member("Odo", group).await;
    let browser = practice.as_person(ines).await;
    let form = |nickname: &'static str| [("name", "Ines"), ("nickname", nickname), ("zone", "Europe/Lisbon"), ("units", "kg")];
    let taken = browser.post("/you").form(&form("odo")).await;
    assert_eq!((taken.status_code().as_u16(), texts(&taken, "#nickname-error").len()), (422, 1));
    assert_eq!(location(&browser.post("/you").form(&form("Nessie")).await), "/you?said=saved");
}
