//! A coach decides about the private words of a member that hold a session back.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, publish, slow_then_fast};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::PersonId;
use time::Duration;

const KNEE: &str = "knee surgery last month";

struct Harbour {
    practice: Practice,
    mara: TestServer,
    ines: PersonId,
    as_ines: TestServer,
}

impl Harbour {
    /// Ines wrote these words; her day has goblet squats, then push-ups and air squats.
    async fn with(words: &str) -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        publish(&practice, group, coach, DAY, slow_then_fast()).await;
        let (mara, as_ines) = (practice.as_person(coach).await, practice.as_person(ines).await);
        let h = Self { practice, mara, ines, as_ines };
        h.write(words).await;
        h
    }

    async fn write(&self, words: &str) {
        assert_eq!(self.as_ines.post("/you/limits").form(&[("note", words)]).await.status_code(), 303);
    }

    fn at(&self) -> String {
        format!("/people/{}/decision", self.ines)
    }

    async fn decide(&self, form: &[(&str, &str)]) -> TestResponse {
        let page = self.mara.get(&format!("/people/{}", self.ines)).await;
        let mark = attributes(&page, "input[name=mark]", "value").remove(0);
        let mut all = vec![("mark", mark.as_str())];
        all.extend(form);
        self.mara.post(&self.at()).form(&all).await
    }

    /// What waits, and what is given, on her page of today.
    async fn today(&self) -> (usize, Vec<String>) {
        let page = self.as_ines.get("/today").await;
        (texts(&page, ".line > .note").iter().filter(|t| *t == "Waits for your coach.").count(), texts(&page, "summary .move"))
    }

    async fn banner(&self) -> Vec<String> {
        texts(&self.as_ines.get("/today").await, "#held")
    }
}

#[tokio::test]
async fn nobody_but_a_coach_decides() {
    let h = Harbour::with(KNEE).await;
    let page = h.mara.get(&format!("/people/{}", h.ines)).await;
    let mark = attributes(&page, "input[name=mark]", "value").remove(0);
    let form = [("mark", mark.as_str()), ("act", "train")];
    let lou = h.practice.coach("Lou").await;
    h.practice.app.store.set_assistant(lou, true).await.unwrap();
    let lou = h.practice.as_person(lou).await;
    for address in [h.at(), format!("{}/take-back", h.at())] {
        assert!(location(&h.practice.browser().post(&address).form(&form).await).starts_with("/sign-in"));
        assert_eq!(h.as_ines.post(&address).form(&form).await.status_code(), 404);
        assert_eq!(lou.post(&address).form(&form).await.status_code(), 403);
    }
    let seen = lou.get("/review").await;
    assert!(texts(&seen, "#held .entry")[0].contains("Only a coach decides"), "an assistant sees it");
    assert!(attributes(&seen, "#held form", "action").is_empty());
    assert_eq!(h.mara.post("/people/999/decision").form(&form).await.status_code(), 404);
    assert!(h.practice.app.store.decisions_of(h.ines).await.unwrap().is_empty());
}

#[tokio::test]
async fn the_review_shows_what_waits_once_and_a_decision_settles_it() {
    let h = Harbour::with(KNEE).await;
    let review = h.mara.get("/review").await;
    let entry = texts(&review, "#held .entry").remove(0);
    for word in ["Ines", KNEE, "Holds back everything"] {
        assert!(entry.contains(word), "{word} in {entry}");
    }
    assert_eq!((texts(&review, "#pain .entry").len(), texts(&review, "#told .entry").len()), (0, 0));
    assert_eq!(location(&h.decide(&[("act", "train"), ("next", "/review")]).await), "/review?said=decided");
    assert!(texts(&h.mara.get("/review").await, "#held").is_empty());
    assert!(h.practice.app.store.open_questions().await.unwrap().is_empty(), "the report that the words opened is answered");
    let trail = texts(&h.mara.get("/trail").await, "td");
    assert!(trail.contains(&"decided about the words of: Ines".to_owned()), "{trail:?}");
}

#[tokio::test]
async fn what_is_refused_in_the_review_stands_in_the_review_beside_the_words() {
    let h = Harbour::with(KNEE).await;
    let back = h.decide(&[("act", "keep_out"), ("said", "Rest it."), ("next", "/review")]).await;
    assert_eq!((back.status_code().as_u16(), texts(&back, "h1").remove(0)), (422, "Review".to_owned()));
    assert_eq!(texts(&back, "#held .entry .error"), ["Tick what is to stay out. Nothing was decided."]);
    assert_eq!(texts(&back, "#held .entry textarea"), ["Rest it."]);
    let elsewhere = h.decide(&[("act", "keep_out")]).await;
    assert_eq!((elsewhere.status_code().as_u16(), texts(&elsewhere, "h1").remove(0)), (422, "Ines".to_owned()));
}

#[tokio::test]
async fn what_waits_is_said_once_above_the_session() {
    let h = Harbour::with(KNEE).await;
    assert_eq!(h.today().await, (3, vec![]));
    let banner = h.banner().await;
    assert_eq!(banner.len(), 1);
    for word in ["Everything waits", "has been told", "licensed professional"] {
        assert!(banner[0].contains(word), "{word} in {}", banner[0]);
    }
}

#[tokio::test]
async fn train_gives_everything_and_says_so_for_some_days() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "train"), ("said", "Your physio wrote to me.")]).await;
    assert_eq!(h.today().await.0, 0);
    let banner = h.banner().await.remove(0);
    assert!(banner.contains("nothing is held back") && banner.contains("Your physio wrote to me."), "{banner}");
    h.practice.app.clock.set(NOW + Duration::days(8));
    assert!(texts(&h.as_ines.get(&format!("/days/{DAY}")).await, "#held").is_empty());
}

#[tokio::test]
async fn keep_out_gives_the_rest() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "keep_out"), ("part", "knee"), ("reach", "loads")]).await;
    let (waits, given) = h.today().await;
    assert_eq!(waits, 0);
    assert!(given.contains(&"push-up".to_owned()) && !given.iter().any(|m| m.contains("squat")), "{given:?}");
    assert_eq!(h.banner().await, ["Your coach has decided: whatever loads the knee stays out for now."]);
}

#[tokio::test]
async fn what_is_kept_out_stays_out_whatever_the_member_writes_until_a_coach_lifts_it() {
    const OUT: &str = "Your coach has decided: whatever loads the knee stays out for now.";
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "keep_out"), ("part", "knee"), ("reach", "loads")]).await;
    for words in ["all fine again!", ""] {
        h.write(words).await;
        let (waits, given) = h.today().await;
        assert!(waits == 0 && !given.iter().any(|m| m.contains("squat")), "{words:?}: {given:?}");
        assert_eq!(h.banner().await, [OUT], "{words:?}");
    }
    h.write("shoulder surgery last week").await;
    assert_eq!(h.today().await.0, 3, "other words hold back what they hold back");
    assert!(h.banner().await[0].contains(OUT), "{:?}", h.banner().await);
    h.write("").await;
    let page = h.mara.get(&format!("/people/{}", h.ines)).await.text();
    assert!(page.contains("whatever they write") && page.contains("/decision/take-back"), "the coach sees it and can lift it");
    h.mara.post(&format!("{}/take-back", h.at())).form(&[("next", "/review"), ("kept_out", "yes")]).await;
    assert!(h.today().await.1.iter().any(|m| m.contains("squat")));
}

#[tokio::test]
async fn what_is_decided_about_other_words_lifts_nothing_that_is_kept_out() {
    const OUT: &str = "whatever loads the knee stays out for now";
    for act in ["hold", "train"] {
        let h = Harbour::with(KNEE).await;
        h.decide(&[("act", "keep_out"), ("part", "knee"), ("reach", "loads")]).await;
        h.write("shoulder surgery last week").await;
        let ticked = "#held input[value=knee][checked]";
        assert_eq!(attributes(&h.mara.get("/review").await, ticked, "name"), ["part"], "who decides sees what is out already");
        h.decide(&[("act", act)]).await;
        assert!(h.banner().await[0].contains(OUT), "{act}: {:?}", h.banner().await);
        h.write("").await;
        let (waits, given) = h.today().await;
        assert!(waits == 0 && !given.iter().any(|m| m.contains("squat")), "{act}: {given:?}");
    }
}

#[tokio::test]
async fn words_that_come_back_hold_again_though_something_was_kept_out_for_them() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "keep_out"), ("part", "knee"), ("reach", "loads")]).await;
    h.write("all fine again!").await;
    h.write(KNEE).await;
    assert_eq!(h.today().await.0, 3);
}

#[tokio::test]
async fn the_same_words_are_decided_about_anew_and_nothing_stays_out() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "keep_out"), ("part", "knee"), ("reach", "loads")]).await;
    h.decide(&[("act", "train")]).await;
    assert!(h.today().await.1.iter().any(|m| m.contains("squat")));
}

#[tokio::test]
async fn a_coach_keeps_something_out_for_who_wrote_nothing_at_all() {
    let h = Harbour::with("").await;
    assert!(h.today().await.1.iter().any(|m| m.contains("squat")));
    h.decide(&[("act", "keep_out"), ("part", "knee"), ("reach", "loads"), ("said", "As we said on Monday.")]).await;
    assert!(!h.today().await.1.iter().any(|m| m.contains("squat")));
    assert!(h.banner().await[0].contains("As we said on Monday."));
    assert_eq!(h.decide(&[("act", "train")]).await.status_code(), 422, "and there is nothing to train in spite of");
}

#[tokio::test]
async fn hold_leaves_it_as_it_is() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "hold")]).await;
    assert_eq!(h.today().await, (3, vec![]));
    assert!(h.banner().await[0].contains("everything keeps waiting"));
}

#[tokio::test]
async fn other_words_bring_the_stop_back_and_the_old_ones_do_not_bring_the_decision_back() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "train")]).await;
    h.write("knee surgery last week").await;
    assert_eq!(h.today().await.0, 3);
    assert_eq!(texts(&h.mara.get("/review").await, "#held .entry").len(), 1);
    h.write(KNEE).await;
    assert_eq!(h.today().await.0, 3, "the same words on another day are decided on anew");
}

#[tokio::test]
async fn saving_the_same_words_again_changes_nothing() {
    let h = Harbour::with(KNEE).await;
    h.decide(&[("act", "train")]).await;
    h.write(&format!(" {KNEE}\n")).await;
    assert_eq!(h.today().await.0, 0);
}

#[tokio::test]
async fn a_decision_is_taken_back() {
    let h = Harbour::with(KNEE).await;
    let own = format!("/people/{}", h.ines);
    let back = async || h.mara.post(&format!("{}/take-back", h.at())).form(&[("next", &own)]).await;
    assert_eq!(back().await.status_code(), 404, "nothing was decided");
    h.decide(&[("act", "train")]).await;
    assert_eq!(location(&back().await), format!("{own}?said=undecided"));
    assert_eq!(h.today().await.0, 3);
    let kept = h.practice.app.store.decisions_of(h.ines).await.unwrap();
    assert_eq!(kept[0].ended.as_deref(), Some("taken back"), "that it was decided is kept");
}

#[tokio::test]
async fn what_makes_no_decision_comes_back_with_what_was_typed() {
    let h = Harbour::with(KNEE).await;
    let long = "a".repeat(501);
    for (form, why) in [
        (vec![("act", "keep_out"), ("said", "Go easy.")], "Tick what is to stay out. Nothing was decided."),
        (vec![("act", "clear"), ("said", "Go easy.")], "Choose one of the three: hold, keep out, or train."),
        (vec![("act", "train"), ("said", long.as_str())], "Say it in at most 500 characters."),
    ] {
        let page = h.decide(&form).await;
        assert_eq!((page.status_code().as_u16(), texts(&page, ".error")), (422, vec![why.to_owned()]));
        assert_eq!(texts(&page, "textarea[name=said]"), [form[1].1]);
    }
    assert_eq!(h.today().await.0, 3);
}

#[tokio::test]
async fn what_is_refused_is_said_at_its_field_and_nothing_that_was_chosen_is_lost() {
    let h = Harbour::with(KNEE).await;
    let long = "a".repeat(501);
    let page = h.decide(&[("act", "keep_out"), ("part", "wrist"), ("reach", "loads"), ("said", &long)]).await;
    assert_eq!(attributes(&page, "[autofocus]", "name"), ["said"]);
    let of = attributes(&page, "textarea[name=said]", "aria-describedby");
    assert_eq!(texts(&page, &format!("#{}", of[0])), ["Say it in at most 500 characters."]);
    assert_eq!(attributes(&page, "[name=part][checked]", "value"), ["wrist"]);
    assert_eq!(attributes(&page, "[name=reach][checked]", "value"), ["loads"]);
    let page = h.decide(&[("act", "keep_out")]).await;
    assert_eq!(attributes(&page, "[autofocus]", "name"), ["part"]);
    let of = attributes(&page, "fieldset[aria-describedby]", "aria-describedby");
    assert_eq!(texts(&page, &format!("#{}", of[0])), ["Tick what is to stay out. Nothing was decided."]);
}

#[tokio::test]
async fn words_that_changed_while_the_coach_read_are_not_decided_on() {
    let h = Harbour::with(KNEE).await;
    let page = h.mara.get(&format!("/people/{}", h.ines)).await;
    let mark = attributes(&page, "input[name=mark]", "value").remove(0);
    h.write("I am pregnant").await;
    let page = h.mara.post(&h.at()).form(&[("mark", mark.as_str()), ("act", "train")]).await;
    assert_eq!(page.status_code(), 422);
    assert_eq!(texts(&page, ".error"), ["Their words changed meanwhile. Read them again first."]);
    assert_eq!(h.today().await.0, 3);
}

#[tokio::test]
async fn the_coachs_table_of_the_group_counts_a_decision() {
    let h = Harbour::with(KNEE).await;
    let group = h.practice.app.store.groups().await.unwrap()[0].id;
    let own = async || h.practice.app.store.profiles_of(group).await.unwrap().remove(0).profile;
    assert_eq!(own().await.open_words, None);
    h.decide(&[("act", "keep_out"), ("part", "knee"), ("part", "hip")]).await;
    let profile = own().await;
    assert_eq!((profile.open_words, profile.kept_out.words()), (Some(vec![]), "whatever touches the knee or the hip".to_owned()));
}
