//! What makes it worth trusting: devices, passwords, roles, the trail, limits, plain pages for what goes wrong.

use crate::practice::{NOW, PASSWORD, Practice, attributes, location, path, texts};
use dowel::config::Config;
use dowel::store::ids::GroupId;
use dowel::store::people::{NewPerson, Role, Units};
use dowel::store::tokens::Scope;
use dowel::training::calendar::Zone;
use time::Duration;
use time::macros::datetime;

async fn wrong(browser: &axum_test::TestServer, name: &str, times: usize) {
    for _ in 0..times {
        browser.post("/sign-in").form(&[("name", name), ("password", "guess")]).await;
    }
}

#[tokio::test]
async fn a_wrong_method_gets_a_page_and_says_which_would_do() {
    let practice = Practice::new().await;
    let response = practice.browser().post("/today").await;
    assert_eq!(response.status_code(), 405);
    assert_eq!(texts(&response, "h1"), ["Not this way"]);
    assert!(response.headers().get("allow").is_some_and(|a| a.to_str().unwrap().contains("GET")));
    assert!(response.headers().contains_key("content-security-policy"));
}

#[tokio::test]
async fn what_a_library_refuses_in_bare_words_gets_a_page_too() {
    let practice = Practice::new().await;
    let coach = practice.as_coach("Mara").await;
    let no_number = coach.get("/people/abc").await;
    assert_eq!((no_number.status_code().as_u16(), texts(&no_number, "h1").len()), (400, 1));
    let large = coach.post("/groups").form(&[("name", "x".repeat(300_000))]).await;
    assert_eq!((large.status_code().as_u16(), texts(&large, "h1")), (413, vec!["Too large".to_owned()]));
    let odd = coach.post("/groups").text("words").await;
    assert_eq!((odd.status_code().as_u16(), texts(&odd, "h1").len()), (415, 1));
    let foreign = coach.post("/groups").add_header("sec-fetch-site", "cross-site").form(&[("name", "x")]).await;
    assert_eq!((foreign.status_code().as_u16(), texts(&foreign, "h1")), (403, vec!["Not from there".to_owned()]));
    for answer in [no_number, large, odd, foreign] {
        assert_eq!(answer.headers().get("cache-control").unwrap(), "no-store");
        assert!(answer.headers().get("content-type").unwrap().to_str().unwrap().contains("utf-8"));
        assert_eq!(answer.headers().get("x-request-id").unwrap().len(), 16);
    }
}

#[tokio::test]
async fn a_sign_in_lives_on_wherever_one_looks_and_ends_when_it_must() {
    let practice = Practice::new().await;
    let coach = practice.as_coach("Mara").await;
    // never by the start page: any page renews it
    for day in 1..=8 {
        practice.app.clock.set(NOW + Duration::days(day * 45));
        assert_eq!(coach.get("/groups").await.status_code(), 200, "after {} days", day * 45);
    }
    practice.app.clock.set(NOW + Duration::days(401));
    assert!(location(&coach.get("/groups").await).starts_with("/sign-in"), "however much it is used");
}

#[tokio::test]
async fn an_unused_sign_in_ends() {
    let practice = Practice::new().await;
    let coach = practice.as_coach("Mara").await;
    practice.app.clock.set(NOW + Duration::days(61));
    assert!(location(&coach.get("/groups").await).starts_with("/sign-in"));
}

#[tokio::test]
async fn strangers_cannot_lock_the_owner_out_of_their_own_browser() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let own = practice.as_person(coach).await;
    own.post("/sign-out").await;
    wrong(&practice.browser(), "mara@example.org", 30).await;
    let form = [("name", "mara@example.org"), ("password", PASSWORD)];
    let stranger = practice.browser().post("/sign-in").form(&form).await;
    assert_eq!(stranger.status_code(), 429);
    assert!(stranger.headers().get("retry-after").is_some());
    assert_eq!(own.post("/sign-in").form(&form).await.status_code(), 303);
}

#[tokio::test]
async fn of_a_thousand_wrong_tries_few_reach_the_hash_and_each_unknown_name_reads_the_same() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    let (mut tried, mut words) = (0, std::collections::BTreeSet::new());
    for n in 0..1000 {
        let response = browser.post("/sign-in").form(&[("name", format!("name {n}")), ("password", "guess".to_owned())]).await;
        if response.status_code() == 422 {
            tried += 1;
            words.insert(texts(&response, ".error"));
        }
    }
    assert_eq!((tried, words.len()), (40, 1), "{words:?}");
    assert_eq!(practice.app.metrics.wrong_sign_ins.load(std::sync::atomic::Ordering::Relaxed), 40);
}

#[tokio::test]
async fn devices_are_listed_and_signed_out_with_the_password_only() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let (old, new) = (practice.as_person(coach).await, practice.browser());
    let form = [("name", "mara@example.org"), ("password", PASSWORD)];
    new.post("/sign-in").form(&form).await;
    let page = new.get("/you/devices").await;
    assert_eq!(texts(&page, ".card h2").len(), 3, "two and the form for all the others");
    let form = attributes(&page, "form[action*='/sign-out']", "action").into_iter().find(|a| a.contains("devices/")).unwrap();
    let wrong = new.post(&form).form(&[("password", "guess")]).await;
    assert_eq!((wrong.status_code().as_u16(), texts(&wrong, ".error").len()), (422, 1));
    assert_eq!(old.get("/groups").await.status_code(), 200);
    assert_eq!(location(&new.post(&form).form(&[("password", PASSWORD)]).await), "/you/devices?said=signed-out");
    assert!(location(&old.get("/groups").await).starts_with("/sign-in"));
    assert_eq!(new.get("/groups").await.status_code(), 200);
}

#[tokio::test]
async fn a_password_is_changed_with_the_one_before_and_ends_every_other_sign_in() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let other = practice.as_person(coach).await;
    let browser = practice.browser();
    browser.post("/sign-in").form(&[("name", "mara@example.org"), ("password", PASSWORD)]).await;
    let change =
        |current: &'static str, new: &'static str| browser.post("/you/password").form(&[("current", current), ("password", new)]);
    assert_eq!(change("guess", "harbour wall at dusk").await.status_code(), 422);
    assert_eq!(change(PASSWORD, "password1").await.status_code(), 422, "too easy");
    assert_eq!(other.get("/groups").await.status_code(), 200);
    assert_eq!(change(PASSWORD, "harbour wall at dusk").await.status_code(), 303);
    assert!(location(&other.get("/groups").await).starts_with("/sign-in"));
    assert_eq!(browser.get("/groups").await.status_code(), 200);
    let old = practice.browser().post("/sign-in").form(&[("name", "mara@example.org"), ("password", PASSWORD)]).await;
    assert_eq!(old.status_code(), 422);
}

#[tokio::test]
async fn a_cookie_from_before_signing_in_is_worth_nothing_afterwards() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let before = practice.cookie_of(coach).await;
    let form = [("name", "mara@example.org"), ("password", PASSWORD)];
    let response = practice.browser().post("/sign-in").add_header("cookie", before.clone()).form(&form).await;
    let after = response.headers().get("set-cookie").unwrap().to_str().unwrap().to_owned();
    assert!(!after.starts_with(&before));
    assert!(after.contains("HttpOnly") && after.contains("SameSite=Lax") && after.contains("Path=/"));
    let replay = practice.browser().get("/groups").add_header("cookie", before).await;
    assert!(location(&replay).starts_with("/sign-in"));
}

#[tokio::test]
async fn one_invitation_used_fifty_times_at_once_makes_one_member() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let link = practice.app.store.invite(group, "Ines", None, NOW).await.unwrap();
    let tries = (0..50).map(|n| {
        let store = practice.app.store.clone();
        let new = dowel::store::people::NewPerson {
            role: dowel::store::people::Role::Member,
            sign_in: format!("ines {n}"),
            name: "Ines".to_owned(),
            password_hash: None,
            zone: dowel::training::calendar::Zone::default(),
            units: dowel::store::people::Units::Kg,
        };
        tokio::spawn(async move { store.use_invitation(link.id, &new, NOW).await.is_ok() })
    });
    let mut made = 0;
    for one in tries.collect::<Vec<_>>() {
        made += usize::from(one.await.unwrap());
    }
    assert_eq!((made, practice.app.store.members_of(group).await.unwrap().len()), (1, 1));
}

#[tokio::test]
async fn somebody_stays_a_coach_and_a_changed_role_counts_at_once() {
    let practice = Practice::new().await;
    let mara = practice.coach("Mara").await;
    let lou = practice.coach("Lou").await;
    let (as_mara, as_lou) = (practice.as_person(mara).await, practice.as_person(lou).await);
    let role = |browser: &axum_test::TestServer, who: dowel::store::ids::PersonId| {
        browser.post(&format!("/coaches/{who}/role")).form(&[("role", "assistant")])
    };
    assert_eq!(role(&as_mara, lou).await.status_code(), 303);
    assert!(location(&as_lou.get("/week").await).starts_with("/sign-in"), "signed out with the change");
    let as_lou = practice.as_person(lou).await;
    assert_eq!(role(&as_lou, mara).await.status_code(), 403);
    assert_eq!(role(&as_mara, mara).await.status_code(), 400, "the last coach");
    assert_eq!(texts(&as_mara.get("/coaches").await, ".card h2").len(), 2);
}

#[tokio::test]
async fn somebody_who_no_longer_works_here_is_out_at_once_and_what_they_wrote_stays() {
    let practice = Practice::new().await;
    let (mara, lou) = (practice.coach("Mara").await, practice.coach("Lou").await);
    let (as_mara, as_lou) = (practice.as_person(mara).await, practice.as_person(lou).await);
    let store = &practice.app.store;
    as_lou.post("/groups").form(&[("name", "Harbour"), ("about", "mornings")]).await;
    as_lou.post("/groups/1/invitations").form(&[("label", "Nele")]).await;
    store.add_token(lou, &[7; 32], "theirs", &[Scope::Coach], (NOW, NOW + Duration::days(9))).await.unwrap();
    let end = |password: &'static str| as_mara.post(&format!("/coaches/{lou}/end")).form(&[("password", password)]);

    let wrong = end("a guess").await;
    assert_eq!((wrong.status_code().as_u16(), texts(&wrong, ".error")), (422, vec!["That is not your password.".to_owned()]));
    assert_eq!(as_lou.get("/groups").await.status_code(), 200, "nothing has ended");

    assert_eq!(location(&end(PASSWORD).await), "/coaches?said=access-ended");
    assert!(location(&as_lou.get("/groups").await).starts_with("/sign-in"));
    let form = [("name", "lou@example.org"), ("password", PASSWORD)];
    assert_eq!(practice.browser().post("/sign-in").form(&form).await.status_code(), 422);
    assert!(store.token_holder(&[7; 32], NOW).await.unwrap().is_none());
    assert!(store.open_invitations(GroupId(1), NOW).await.unwrap().is_empty(), "they know its address");
    assert_eq!(texts(&as_mara.get("/coaches").await, ".card h2").len(), 1);
    assert_eq!(as_mara.get("/groups/1").await.status_code(), 200, "their group stays");
    let trail = texts(&as_mara.get("/trail").await, "tbody tr td:nth-child(3)");
    for act in ["ended the access of: Lou", "made a group"] {
        assert!(trail.contains(&act.to_owned()), "{act}: {trail:?}");
    }
    assert_eq!(end(PASSWORD).await.status_code(), 404, "they are no coach any more");
}

#[tokio::test]
async fn nobody_ends_their_own_access_and_no_assistant_anybodys() {
    let practice = Practice::new().await;
    let mara = practice.coach("Mara").await;
    let as_mara = practice.as_person(mara).await;
    let lou = practice.coach("Lou").await;
    let end =
        |browser: &axum_test::TestServer, whose| browser.post(&format!("/coaches/{whose}/end")).form(&[("password", PASSWORD)]);
    assert_eq!(end(&as_mara, mara).await.status_code(), 422);
    practice.app.store.set_assistant(lou, true).await.unwrap();
    assert_eq!(end(&practice.as_person(lou).await, mara).await.status_code(), 403);
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    assert_eq!(end(&as_mara, ines).await.status_code(), 404, "members leave on their own page");
    assert_eq!(as_mara.get("/coaches").await.status_code(), 200);
}

#[tokio::test]
async fn a_coach_who_comes_back_is_the_same_person() {
    let practice = Practice::new().await;
    practice.coach("Mara").await;
    let lou = practice.coach("Lou").await;
    let store = &practice.app.store;
    store.end_coach(lou, NOW).await.unwrap();
    let new = NewPerson {
        role: Role::Coach,
        sign_in: "Lou@example.org".to_owned(),
        name: "Lou".to_owned(),
        password_hash: None,
        zone: Zone::default(),
        units: Units::Kg,
    };
    assert_eq!(store.add_coach(&new, true, NOW).await.unwrap(), lou);
    let back = practice.as_person(lou).await;
    assert_eq!(back.get("/groups").await.status_code(), 200);
    assert_eq!(back.get("/coaches").await.status_code(), 403, "as an assistant this time");
}

#[tokio::test]
async fn a_hash_of_before_is_made_anew_when_its_owner_signs_in_and_stays_where_they_do_not() {
    let practice = Practice::new().await;
    let mara = practice.coach("Mara").await;
    let store = &practice.app.store;
    // argon2-cffi (the reference implementation): time 1, memory 8192, one lane
    let old = "$argon2id$v=19$m=8192,t=1,p=1$c2FsdHNhbHRzYWx0c2FsdA$KYjCKawXZAVZHNoZXBkaTgOALtt4O6iHK/DWLngQdkk";
    store.change_password(mara, old).await.unwrap();
    let kept = || async { store.credentials("mara@example.org").await.unwrap().unwrap().1.unwrap() };
    let sign_in = |password: &'static str| {
        let browser = practice.browser();
        async move { browser.post("/sign-in").form(&[("name", "mara@example.org"), ("password", password)]).await }
    };
    assert_eq!(sign_in("a guess").await.status_code(), 422);
    assert_eq!(kept().await, old);
    assert_eq!(sign_in(PASSWORD).await.status_code(), 303);
    assert!(kept().await.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{}", kept().await);
    assert_eq!(sign_in(PASSWORD).await.status_code(), 303, "the same password");
}

#[tokio::test]
async fn everybody_is_signed_out_on_the_machine() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let as_ines = practice.as_person(ines).await;
    let until = NOW + Duration::days(9);
    practice.app.store.add_token(ines, &[7; 32], "hers", &[Scope::Read], (NOW, until)).await.unwrap();
    practice.app.store.end_everybodys_sign_ins().await.unwrap();
    for browser in [&mara, &as_ines] {
        assert!(location(&browser.get("/you/devices").await).starts_with("/sign-in"));
    }
    assert!(practice.app.store.token_holder(&[7; 32], NOW).await.unwrap().is_none());
}

#[tokio::test]
async fn a_file_says_what_it_is_and_is_framed_nowhere() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    let page = browser.get("/sign-in").await;
    let sheets = attributes(&page, "link[rel=stylesheet]", "href");
    let scripts = attributes(&page, "script[src]", "src");
    assert!(!sheets.is_empty() && !scripts.is_empty());
    for file in sheets.iter().chain(&scripts) {
        let answer = browser.get(file).await;
        let header = |name: &str| answer.headers().get(name).map(|v| v.to_str().unwrap().to_owned()).unwrap_or_default();
        assert!(header("content-type").ends_with("; charset=utf-8"), "{file}: {}", header("content-type"));
        assert!(header("content-security-policy").contains("frame-ancestors 'none'"), "{file}");
        assert_eq!(header("referrer-policy"), "same-origin", "{file}");
        assert!(header("cache-control").contains("immutable"), "{file} is still kept for long");
    }
}

#[tokio::test]
async fn numbers_say_when_the_last_good_backup_was_made() {
    let settings = Config { metrics_token: Some("a token".to_owned()), ..Config::default() };
    let practice = Practice::with(settings).await;
    let browser = practice.browser();
    let last = || async {
        let text = browser.get("/metrics").add_header("authorization", "Bearer a token").await.text();
        let line = text.lines().find_map(|l| l.strip_prefix("dowel_backup_last_success_timestamp_seconds "));
        line.unwrap().parse::<i64>().unwrap()
    };
    assert_eq!(last().await, 0, "there is none");
    for name in ["dowel-20261124T060000.000Z", "dowel-20261123T060000.000Z", "dowel-20261125T060000.000Z.part", "notes"] {
        std::fs::create_dir_all(practice.app.config.data.join("backups").join(name)).unwrap();
    }
    assert_eq!(last().await, datetime!(2026-11-24 06:00 UTC).unix_timestamp(), "what is half-written is none");
}

#[tokio::test]
async fn an_empty_token_opens_no_numbers() {
    let practice = Practice::with(Config { metrics_token: Some(String::new()), ..Config::default() }).await;
    let asked = practice.browser().get("/metrics").add_header("authorization", "Bearer ").await;
    assert_eq!(asked.status_code(), 404);
}

#[tokio::test]
async fn the_trail_says_who_did_what_and_nothing_that_was_typed() {
    let practice = Practice::new().await;
    let coach = practice.as_coach("Mara").await;
    coach.post("/groups").form(&[("name", "Harbour"), ("about", "")]).await;
    coach.post("/groups/1/invitations").form(&[("label", "a secret friend")]).await;
    coach.post("/groups/1/invitations").form(&[("label", "")]).await;
    wrong(&practice.browser(), "mara@example.org", 1).await;
    let page = coach.get("/trail").await;
    let what = texts(&page, "tbody tr td:nth-child(3)");
    assert_eq!(what[..3], ["wrong password: Mara", "invited somebody to: Harbour", "made a group"]);
    assert_eq!(what.iter().filter(|w| w.starts_with("invited")).count(), 1, "what was refused was not done");
    assert_eq!(texts(&page, "tbody tr:nth-child(2) td:nth-child(2)"), ["Mara"]);
    assert!(!page.text().contains("secret friend"));
}

#[tokio::test]
async fn signing_out_is_kept_where_somebody_was_signed_in_and_only_there() {
    let practice = Practice::new().await;
    let coach = practice.as_coach("Mara").await;
    for _ in 0..3 {
        assert_eq!(location(&practice.browser().post("/sign-out").await), "/sign-in");
    }
    coach.post("/sign-out").await;
    coach.post("/sign-out").await;
    let acts = practice.app.store.acts(None, 50).await.unwrap();
    let out: Vec<&str> = acts.iter().filter(|a| a.act == "signed out").map(|a| a.who.as_str()).collect();
    assert_eq!(out, ["Mara"]);
}

#[tokio::test]
async fn signing_in_leads_on_within_dowel_alone() {
    let practice = Practice::new().await;
    let coach = practice.as_coach("Mara").await;
    for next in ["/%09/evil.example", "/%5Cevil.example", "//evil.example", "/%0a/evil.example", "/%01x"] {
        assert_eq!(location(&coach.get(&format!("/sign-in?next={next}")).await), "/", "{next}");
    }
    assert_eq!(location(&coach.get("/sign-in?next=/groups").await), "/groups");
}

#[tokio::test]
async fn health_says_ok_and_numbers_are_for_this_machine_or_a_token() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    let health = browser.get("/healthz").await;
    assert_eq!((health.status_code().as_u16(), health.text().as_str()), (200, "ok\n"));
    // without a connection it comes from nowhere
    assert_eq!(browser.get("/metrics").await.status_code(), 404);
}

#[tokio::test]
async fn a_link_of_one_kind_or_time_opens_nothing_else() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let link = practice.app.store.invite(group, "", None, NOW).await.unwrap();
    let address = practice.app.links.invitation_address(link);
    let token = path(&address).strip_prefix("/join/").unwrap().to_owned();
    assert_eq!(practice.browser().get(&format!("/password/{token}")).await.status_code(), 404);
    let later = dowel::store::links::Made { created_at: link.created_at + 1, ..link };
    let other = practice.app.links.invitation_address(later);
    assert_eq!(practice.browser().get(path(&other)).await.status_code(), 404);
}
