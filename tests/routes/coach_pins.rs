//! Lines chosen for some members, and the few rules in which coaches differ.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::DAY;
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::{GroupId, PersonId};
use dowel::training::calendar;
use dowel::training::movement::Demand;
use dowel::training::tailor::{OneForTwo, Rules};

const DRAFT: &str = "Tide table\n\nStrength: back squat 5 x 5 @ 40 kg\n\nFor time\n30 push-ups\nor shorter: 20\n";

struct Harbour {
    practice: Practice,
    mara: TestServer,
    group: GroupId,
    ines: PersonId,
}

impl Harbour {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let mara = practice.as_coach("Mara").await;
        let group = practice.group("Harbour").await;
        practice.app.store.save_draft(group, DAY, 1, DRAFT, 0, NOW).await.unwrap();
        let ines = practice.member("Ines", group).await;
        Self { practice, mara, group, ines }
    }

    fn day(&self, rest: &str) -> String {
        format!("/groups/{}/days/{}/1{rest}", self.group, calendar::iso(DAY))
    }

    async fn choose(
        &self,
        movement: &str,
        (part, line): (u8, u8),
        whom: &str,
        becomes: &str,
        more: &[(&str, &str)],
    ) -> TestResponse {
        let (part, line) = (part.to_string(), line.to_string());
        let mut form =
            vec![("part", part.as_str()), ("line", &line), ("movement", movement), ("whom", whom), ("becomes", becomes)];
        form.extend(more);
        self.mara.post(&self.day("/pins")).form(&form).await
    }

    async fn pins(&self) -> usize {
        self.practice.app.store.pins().await.unwrap().len()
    }
}

#[tokio::test]
async fn choosing_is_for_coaches_alone() {
    let h = Harbour::new().await;
    let form = [("part", "0"), ("line", "0"), ("movement", "back squat"), ("whom", "lacks:barbell"), ("becomes", "split squat")];
    assert!(location(&h.practice.browser().post(&h.day("/pins")).form(&form).await).starts_with("/sign-in"));
    let ines = h.practice.as_person(h.ines).await;
    assert_eq!(ines.post(&h.day("/pins")).form(&form).await.status_code(), 404);
    assert_eq!(ines.get("/fitting").await.status_code(), 404);
    assert_eq!(ines.post("/fitting").await.status_code(), 404);
    assert_eq!(ines.post("/fitting/reset").await.status_code(), 404);
    assert_eq!(ines.post("/pins/1/remove").await.status_code(), 404);
    assert_eq!(h.pins().await, 0);
}

#[tokio::test]
async fn a_choice_for_a_kind_of_home_is_kept_shown_and_taken_away() {
    let h = Harbour::new().await;
    let done = h.choose("back squat", (0, 0), "lacks:barbell", "9 split squats each side", &[("always", "yes")]).await;
    assert_eq!(location(&done), format!("{}?said=chosen#p0l0", h.day("/coverage")));
    let page = h.mara.get(&h.day("/coverage")).await;
    let chosen = texts(&page, ".chosen p").remove(0);
    assert!(chosen.contains("split squat") && chosen.contains("always") && chosen.contains("1 gets it."), "{chosen}");
    assert!(
        texts(&page, "details.why summary").iter().any(|t| t == "1 member: split squat instead"),
        "{:?}",
        texts(&page, "details.why summary")
    );
    let list = h.mara.get("/fitting").await;
    assert_eq!(texts(&list, "table th[scope=row]"), ["back squat"]);
    let remove = attributes(&list, "form[action^='/pins/']", "action").remove(0);
    assert_eq!(location(&h.mara.post(&remove).form(&[("next", "")]).await), "/fitting?said=deleted");
    assert_eq!(h.pins().await, 0);
    assert_eq!(h.mara.post(&remove).form(&[("next", "")]).await.status_code(), 404);
}

#[tokio::test]
async fn the_member_reads_that_the_coach_chose_it() {
    let h = Harbour::new().await;
    h.choose("push-up", (1, 0), &format!("member:{}", h.ines), "12 knee push-ups", &[]).await;
    let page = h.mara.get(&h.day(&format!("/as/{}", h.ines))).await;
    assert!(texts(&page, ".note").iter().any(|t| t == "Your coach chose knee push-up for you."), "{:?}", texts(&page, ".note"));
    // in this session alone
    h.practice.app.store.save_draft(h.group, DAY, 2, DRAFT, 0, NOW).await.unwrap();
    let other = h.mara.get(&h.day(&format!("/as/{}", h.ines)).replace("/1/as", "/2/as")).await;
    assert!(texts(&other, ".note").iter().all(|t| !t.contains("Your coach chose")));
}

#[tokio::test]
async fn from_the_preview_one_comes_back_to_it() {
    let h = Harbour::new().await;
    let here = h.day(&format!("/as/{}", h.ines));
    assert_eq!(attributes(&h.mara.get(&here).await, "form input[name=whom]", "value"), vec![format!("member:{}", h.ines); 2]);
    let done = h.choose("push-up", (1, 0), &format!("member:{}", h.ines), "knee push-up", &[("next", &here)]).await;
    assert_eq!(location(&done), format!("{here}?said=chosen#p1l0"));
}

#[tokio::test]
async fn a_choice_that_breaks_a_hard_rule_is_refused_with_the_reason() {
    let h = Harbour::new().await;
    h.practice.app.store.save_limits(h.ines, &[Demand::Impact], None).await.unwrap();
    let back = h.choose("push-up", (1, 0), &format!("member:{}", h.ines), "5 burpees", &[]).await;
    assert_eq!(back.status_code(), 422);
    assert_eq!(texts(&back, ".error"), ["It would break a hard rule: Ines (keeps out jumping and landing)."]);
    assert_eq!(attributes(&back, "details[open] input[name=becomes]", "value"), ["5 burpees"]);
    assert_eq!(h.pins().await, 0);
}

#[tokio::test]
async fn what_cannot_be_read_comes_back_beside_what_was_typed() {
    let h = Harbour::new().await;
    for (movement, whom, becomes) in [
        ("back squat", "lacks:barbell", "9 flying carpets"),
        ("back squat", "lacks:barbell", ""),
        ("back squat", "lacks:wings", "split squat"),
        ("deadlift", "lacks:barbell", "split squat"),
    ] {
        let back = h.choose(movement, (0, 0), whom, becomes, &[]).await;
        assert_eq!((back.status_code().as_u16(), texts(&back, ".error").len()), (422, 1), "{movement} {whom} {becomes}");
    }
    let other = h.practice.group("Lighthouse").await;
    let otis = h.practice.member("Otis", other).await;
    assert_eq!(h.choose("push-up", (1, 0), &format!("member:{otis}"), "knee push-up", &[]).await.status_code(), 404);
    assert_eq!(h.pins().await, 0);
}

fn rules<'a>(weeks: &'a str, reps: &'a str, never: &'a str) -> [(&'a str, &'a str); 4] {
    [("max_age_weeks", weeks), ("most_reps", reps), ("one_for_two", "each_side"), ("never", never)]
}

#[tokio::test]
async fn the_rules_are_kept_and_one_tap_brings_them_back() {
    let h = Harbour::new().await;
    assert!(location(&h.practice.browser().get("/fitting").await).starts_with("/sign-in"));
    assert!(attributes(&h.mara.get("/fitting").await, "form[action='/fitting/reset']", "method").is_empty());
    let done = h.mara.post("/fitting").form(&rules("10", "15", "Jump Squat\n")).await;
    assert_eq!(location(&done), "/fitting?said=saved");
    let kept = h.practice.app.store.rules().await.unwrap();
    let wanted = Rules {
        max_age_weeks: 10,
        one_for_two: OneForTwo::EachSide,
        most_reps: 15,
        slower: false,
        never: vec!["jump squat".to_owned()],
    };
    assert_eq!(kept, wanted);
    assert_eq!(attributes(&h.mara.get("/fitting").await, "#max_age_weeks", "value"), ["10"]);
    h.mara.post("/fitting/reset").await;
    assert_eq!(h.practice.app.store.rules().await.unwrap(), Rules::default());
}

#[tokio::test]
async fn rules_that_make_no_sense_come_back_beside_the_field() {
    let h = Harbour::new().await;
    for (form, field) in [
        (rules("none", "20", ""), "max_age_weeks"),
        (rules("26", "400", ""), "most_reps"),
        (rules("26", "20", "flying carpet"), "never"),
    ] {
        let back = h.mara.post("/fitting").form(&form).await;
        assert_eq!((back.status_code().as_u16(), texts(&back, &format!("#{field}-error")).len()), (422, 1), "{field}");
    }
    assert_eq!(h.practice.app.store.rules().await.unwrap(), Rules::default());
}

#[tokio::test]
async fn a_shorter_version_is_written_there_and_then() {
    let h = Harbour::new().await;
    let text = DRAFT.replace("or shorter: 20\n", "");
    h.practice.app.store.save_draft(h.group, DAY, 1, &text, 1, NOW).await.unwrap();
    let address = h.day("/versions");
    let form = |text: &'static str| [("part", "1"), ("edit", "2"), ("text", text)];
    assert!(location(&h.practice.browser().post(&address).form(&form("or shorter: 20")).await).starts_with("/sign-in"));
    assert_eq!(h.practice.as_person(h.ines).await.post(&address).form(&form("or shorter: 20")).await.status_code(), 404);
    let page = h.mara.get(&h.day("/coverage")).await;
    assert_eq!(attributes(&page, ".ask input[name=text]", "value"), ["or shorter: "]);
    let back = h.mara.post(&address).form(&form("or whatever")).await;
    assert_eq!((back.status_code().as_u16(), texts(&back, ".error").len()), (422, 1));
    assert_eq!(attributes(&back, ".ask input[name=text]", "value"), ["or whatever"]);
    assert_eq!(
        location(&h.mara.post(&address).form(&form("or shorter: 20")).await),
        format!("{}?said=saved", h.day("/coverage"))
    );
    assert!(texts(&h.mara.get(&h.day("/coverage")).await, ".notice.ask").is_empty());
    // the draft that was looked at is an older one now
    let stale = h.mara.post(&address).form(&form("or shorter: 10")).await;
    assert_eq!(stale.status_code(), 422);
}
