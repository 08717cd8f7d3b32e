//! The movement library: looked at by everybody, changed by the coach.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, publish, slow_then_fast};
use dowel::clock::Clock;
use dowel::store::Store;
use dowel::training::movement::Movement;
use dowel::web::App;

/// Every field of a movement that can be saved.
#[must_use]
fn crate_press() -> Vec<(&'static str, &'static str)> {
    vec![
        ("name", "Crate press"),
        ("aliases", "box press\ncrate overhead"),
        ("pattern", "push_vertical"),
        ("equipment", "backpack\npair of dumbbells + bench"),
        ("demands", "overhead"),
        ("demands", "grip"),
        ("skill", "2"),
        ("sided", "bilateral"),
        ("loadable", "on"),
        ("unit", "reps"),
        ("seconds_per_rep", "2,5"),
        ("easier", "DB snatch"),
        ("harder", ""),
        ("stand_in", "WEIGHT-ANY"),
        ("stand_in_words", "anything with two handles"),
        ("cues", "feet under hips\nribs down"),
        ("faults", "leaning back"),
        ("caution", "Check the ceiling."),
    ]
}

fn with(field: &str, value: &'static str) -> Vec<(&'static str, &'static str)> {
    crate_press().into_iter().map(|(f, v)| if f == field { (f, value) } else { (f, v) }).collect()
}

#[tokio::test]
async fn a_movement_that_was_missed_in_a_write_up_leads_back_to_it() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let page = mara.get("/movements/new?name=Flurb&back=%2Fgroups%2F1%2Fdays%2F2026-11-25%2F1").await;
    let action = attributes(&page, "form.stack", "action").remove(0);
    let response = mara.post(&action).form(&crate_press()).await;
    assert_eq!(location(&response), "/groups/1/days/2026-11-25/1?said=saved");
    let astray = mara.get("/movements/new?back=https%3A%2F%2Fevil.example").await;
    assert_eq!(attributes(&astray, ".when a", "href"), ["/"]);
}

#[tokio::test]
async fn a_stranger_signs_in_first() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    for address in ["/movements", "/movements/air%20squat", "/movements/new", "/movements/air%20squat/edit"] {
        assert!(location(&browser.get(address).await).starts_with("/sign-in?next=/movements"), "{address}");
    }
    for address in ["/movements/new", "/movements/air%20squat/edit", "/movements/air%20squat/reset"] {
        assert!(location(&browser.post(address).form(&crate_press()).await).starts_with("/sign-in"), "{address}");
    }
}

#[tokio::test]
async fn a_member_looks_and_does_not_change() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let member = practice.member("Ines", group).await;
    let browser = practice.as_person(member).await;
    assert_eq!(browser.get("/movements").await.status_code(), 200);
    assert!(attributes(&browser.get("/movements/air%20squat").await, "a", "href").iter().all(|a| !a.ends_with("/edit")));
    assert_eq!(browser.get("/movements/new").await.status_code(), 404);
    assert_eq!(browser.get("/movements/air%20squat/edit").await.status_code(), 404);
    for address in ["/movements/new", "/movements/air%20squat/edit", "/movements/air%20squat/reset"] {
        assert_eq!(browser.post(address).form(&crate_press()).await.status_code(), 404, "{address}");
    }
}

#[tokio::test]
async fn one_looks_by_name_other_name_kind_and_equipment() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    let all = texts(&browser.get("/movements").await, "#found .who").len();
    assert_eq!(all, practice.app.library().all().len());
    let by_alias = browser.get("/movements?q=DB+snatch").await;
    assert!(texts(&by_alias, "#found .who").contains(&"dumbbell snatch".to_owned()));
    let squats = texts(&browser.get("/movements?pattern=squat&with=none").await, "#found .who");
    assert!(squats.contains(&"air squat".to_owned()) && !squats.contains(&"back squat".to_owned()), "{squats:?}");
    let nothing = browser.get("/movements?q=zzz").await;
    assert_eq!((texts(&nothing, "#found .who").len(), texts(&nothing, ".empty").len()), (0, 1));
    assert_eq!(attributes(&nothing, "#q", "value"), ["zzz"]);
}

#[tokio::test]
async fn a_movements_page_says_how_and_with_what() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    let page = browser.get("/movements/chair%20squat").await;
    assert_eq!(texts(&page, "h1"), ["Chair squat"]);
    assert_eq!(texts(&page, "#cues li").len(), 3);
    assert!(texts(&page, "#facts dd")[0].contains("sturdy chair or step"));
    assert!(attributes(&page, "#near a", "href").contains(&"/movements/air%20squat".to_owned()));
    assert_eq!(location(&browser.get("/movements/BOX%20squat").await), "/movements/chair%20squat");
    assert_eq!(browser.get("/movements/no%20such%20thing").await.status_code(), 404);
}

#[tokio::test]
async fn a_new_movement_is_in_the_library_and_stays_after_a_restart() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    assert_eq!(browser.get("/movements/new").await.status_code(), 200);
    let response = browser.post("/movements/new").form(&crate_press()).await;
    assert_eq!((response.status_code().as_u16(), location(&response).as_str()), (303, "/movements/crate%20press?said=saved"));
    let again = App::open((*practice.app.config).clone(), Clock::standing(NOW)).await.unwrap();
    for app in [&practice.app, &again] {
        let library = app.library();
        let saved = library.find("box press").unwrap();
        assert_eq!((saved.name.as_str(), saved.seconds_per_rep, saved.equipment.len()), ("crate press", Some(2.5), 2));
        assert_eq!(saved.easier, ["dumbbell snatch"], "another name is kept as the name");
        assert_eq!(saved.demands.len(), 2);
    }
}

#[tokio::test]
async fn movements_that_are_saved_at_the_same_time_are_all_in_the_library() {
    let practice = Practice::new().await;
    let browser = practice.as_coach("Mara").await;
    let form = |name: &'static str| {
        let fields = with("name", name).into_iter();
        fields.map(|(field, value)| (field, if field == "aliases" { "" } else { value })).collect::<Vec<_>>()
    };
    let names = ["crate press", "crate shove", "crate toss", "crate walk"];
    let forms = names.map(form);
    let saves = forms.iter().map(|form| async { browser.post("/movements/new").form(form).await.status_code().as_u16() });
    let statuses = futures_util::future::join_all(saves).await;
    assert_eq!(statuses, [303; 4]);
    let library = practice.app.library();
    let found: Vec<_> = names.into_iter().filter(|name| library.find(name).is_some()).collect();
    assert_eq!(found, names);
}

#[tokio::test]
async fn of_two_new_movements_of_one_name_one_is_kept_and_the_other_is_told() {
    let practice = Practice::new().await;
    let browser = practice.as_coach("Mara").await;
    let (one, other) = (with("cues", "first"), with("cues", "second"));
    let save = |form| browser.post("/movements/new").form(form);
    let (one, other) = futures_util::future::join(async { save(&one).await }, async { save(&other).await }).await;
    let mut statuses = [one.status_code().as_u16(), other.status_code().as_u16()];
    statuses.sort_unstable();
    assert_eq!(statuses, [303, 422]);
    assert_eq!(practice.app.store.own_movements().await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_name_that_another_process_took_a_moment_ago_is_an_error_beside_it() {
    let practice = Practice::new().await;
    let mara = practice.coach("Mara").await;
    let browser = practice.as_person(mara).await;
    browser.get("/movements").await;
    let elsewhere = Store::open(&practice.app.config.data.join("dowel.db")).await.unwrap();
    let theirs = Movement { name: "crate press".to_owned(), aliases: vec![], ..practice.app.library().all()[0].clone() };
    elsewhere.save_movement(None, &theirs, mara, NOW).await.unwrap();
    let refused = browser.post("/movements/new").form(&crate_press()).await;
    assert_eq!((refused.status_code().as_u16(), texts(&refused, "#name-error").len()), (422, 1));
    assert_eq!(practice.app.store.own_movements().await.unwrap()[0].cues, theirs.cues, "nothing was overwritten");
}

#[tokio::test]
async fn what_another_process_adds_is_in_the_library_without_a_restart() {
    let practice = Practice::new().await;
    let mara = practice.coach("Mara").await;
    let browser = practice.as_person(mara).await;
    let elsewhere = Store::open(&practice.app.config.data.join("dowel.db")).await.unwrap();
    let theirs = Movement { name: "pier squat".to_owned(), aliases: vec![], ..practice.app.library().all()[0].clone() };
    elsewhere.save_movement(None, &theirs, mara, NOW).await.unwrap();
    practice.app.store.look_for_others_now().await.unwrap();
    assert_eq!(texts(&browser.get("/movements/pier%20squat").await, "h1"), ["Pier squat"]);
}

#[tokio::test]
async fn a_movement_of_any_name_has_a_page_that_day_pages_lead_to() {
    let practice = Practice::new().await;
    let mara = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let coach = practice.as_person(mara).await;
    let mut form = with("name", "1/2 press #2?");
    form.iter_mut().filter(|(field, _)| *field == "equipment").for_each(|(_, value)| *value = "none");
    let saved = coach.post("/movements/new").form(&form).await;
    assert_eq!(location(&saved), "/movements/1%2F2%20press%20%232%3F?said=saved");
    let mut session = slow_then_fast();
    session.parts[0].lines[0].movement = "1/2 press #2?".to_owned();
    publish(&practice, group, mara, DAY, session).await;
    let member = practice.as_person(ines).await;
    let links = attributes(&member.get("/today").await, "a[href^='/movements/1']", "href");
    assert_eq!(links, ["/movements/1%2F2%20press%20%232%3F"]);
    assert_eq!(texts(&member.get(&links[0]).await, "h1"), ["1/2 press #2?"]);
}

#[tokio::test]
async fn errors_stand_beside_their_fields_and_nothing_typed_is_lost() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    for (field, value, says) in [
        ("name", "Air Squat", "air squat"),
        ("name", "  ", "Give it a name"),
        ("aliases", "crate thing\nfree squat", "air squat"),
        ("equipment", "dumbell", "dumbbell"),
        ("equipment", " \n ", "nothing"),
        ("easier", "air sqat", "air squat"),
        ("harder", "crate press", "itself"),
        ("harder", "dumbbell snatch", "both"),
        ("seconds_per_rep", "soon", "number of seconds"),
        ("seconds_per_rep", "-1", "number of seconds"),
        ("cues", "", "at least one cue"),
        ("skill", "9", "1 to 5"),
        ("pattern", "flying", "list"),
    ] {
        let response = browser.post("/movements/new").form(&with(field, value)).await;
        assert_eq!(response.status_code(), 422, "{field}={value}");
        assert!(texts(&response, &format!("#{field}-error"))[0].contains(says), "{field}={value}");
        assert_eq!(texts(&response, "#faults"), ["leaning back"], "{field}={value}");
        assert_eq!(attributes(&response, "input[name=demands][checked]", "value").len(), 2, "{field}={value}");
    }
    assert!(practice.app.library().find("crate press").is_none());
}

#[tokio::test]
async fn a_shipped_movement_is_changed_under_its_name_and_put_back() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    let page = browser.get("/movements/air%20squat/edit").await;
    assert!(texts(&page, "#aliases")[0].contains("free squat"));
    assert_eq!(attributes(&page, "#name", "value").len(), 0, "its name stays");
    let mut form = with("easier", "chair squat");
    form[0].1 = "something else";
    assert_eq!(location(&browser.post("/movements/air%20squat/edit").form(&form).await), "/movements/air%20squat?said=saved");
    assert_eq!(practice.app.library().find("air squat").unwrap().cues, ["feet under hips", "ribs down"]);
    let count = practice.app.library().all().len();
    let back = browser.post("/movements/air%20squat/reset").await;
    assert_eq!(location(&back), "/movements/air%20squat?said=reset");
    assert_eq!(practice.app.library().find("air squat").unwrap().cues[0], "whole foot on the floor");
    assert_eq!(practice.app.library().all().len(), count);
    assert_eq!(browser.post("/movements/air%20squat/reset").await.status_code(), 404, "nothing left to put back");
}

#[tokio::test]
async fn an_own_movement_renamed_is_still_read_by_its_old_name() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    browser.post("/movements/new").form(&crate_press()).await;
    let renamed = browser.post("/movements/crate%20press/edit").form(&with("name", "crate shove")).await;
    assert_eq!(location(&renamed), "/movements/crate%20shove?said=saved");
    assert_eq!(practice.app.library().find("crate press").unwrap().name, "crate shove");
    assert_eq!(practice.app.store.own_movements().await.unwrap().len(), 1);
}

#[tokio::test]
async fn an_own_movement_is_removed_unless_another_leans_on_it() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let browser = practice.as_person(coach).await;
    browser.post("/movements/new").form(&crate_press()).await;
    let mut leaning = with("easier", "crate press");
    leaning[0].1 = "crate jerk";
    leaning[1].1 = "";
    assert_eq!(browser.post("/movements/new").form(&leaning).await.status_code(), 303);
    let refused = browser.post("/movements/crate%20press/reset").await;
    assert_eq!(refused.status_code(), 422);
    assert!(texts(&refused, "#reset-error")[0].contains("Crate jerk"));
    assert_eq!(location(&browser.post("/movements/crate%20jerk/reset").await), "/movements?said=deleted");
    assert_eq!(location(&browser.post("/movements/crate%20press/reset").await), "/movements?said=deleted");
    assert_eq!(browser.get("/movements/crate%20press").await.status_code(), 404);
}

#[tokio::test]
async fn an_own_movement_whose_name_a_newer_library_took_is_left_out_and_kept() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let mut clashing = practice.app.library().find("air squat").unwrap().clone();
    clashing.name = "harbour squat".to_owned();
    clashing.aliases = vec!["box squat".to_owned()];
    let fine = Movement { name: "pier squat".to_owned(), aliases: vec![], ..clashing.clone() };
    for movement in [&clashing, &fine] {
        practice.app.store.save_movement(None, movement, coach, NOW).await.unwrap();
    }
    let app = App::open((*practice.app.config).clone(), Clock::standing(NOW)).await.unwrap();
    assert!(app.library().find("harbour squat").is_none() && app.library().find("pier squat").is_some());
    assert_eq!(app.library().find("box squat").unwrap().name, "chair squat");
    assert_eq!(app.store.own_movements().await.unwrap().len(), 2);
}
