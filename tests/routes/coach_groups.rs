//! Groups, invitations and members, as the coach sees them.

use crate::practice::{NOW, Practice, attributes, location, path, texts};
use dowel::training::member::Level;
use dowel::training::movement::Demand;

#[tokio::test]
async fn groups_are_for_coaches_alone() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let member = practice.member("Ines", group).await;
    let addresses = ["/groups".to_owned(), format!("/groups/{group}"), format!("/people/{member}")];
    let ines = practice.as_person(member).await;
    for address in &addresses {
        let stranger = practice.browser().get(address).await;
        assert!(location(&stranger).starts_with("/sign-in?next="), "{address}");
        assert_eq!(ines.get(address).await.status_code(), 404, "{address}");
    }
    for address in [format!("/people/{member}/level"), format!("/people/{member}/leave"), format!("/groups/{group}/invitations")]
    {
        assert_eq!(ines.post(&address).form(&[("level", "advanced"), ("label", "me")]).await.status_code(), 404, "{address}");
    }
    assert_eq!(practice.app.store.person(member).await.unwrap().level, Level::Beginner);
}

#[tokio::test]
async fn an_empty_list_says_how_to_begin_and_a_group_is_made() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    assert_eq!(texts(&mara.get("/groups").await, ".empty").len(), 1);
    let made = mara.post("/groups").form(&[("name", " Harbour "), ("about", "Mornings")]).await;
    assert_eq!(made.status_code(), 303);
    let page = mara.get(&location(&made)).await;
    assert_eq!(texts(&page, "h1"), ["Harbour"]);
    assert_eq!(texts(&mara.get("/groups").await, "tbody th a"), ["Harbour"]);
}

#[tokio::test]
async fn a_group_without_a_name_or_with_a_taken_one_comes_back_as_typed() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    practice.group("Harbour").await;
    let other = practice.group("Lighthouse").await;
    for name in ["", "HARBOUR"] {
        for address in ["/groups".to_owned(), format!("/groups/{other}")] {
            let page = mara.post(&address).form(&[("name", name), ("about", "kept")]).await;
            assert_eq!(page.status_code(), 422, "{address}");
            assert_eq!(texts(&page, "#name-error").len(), 1, "{address}");
            assert_eq!(attributes(&page, "#about", "value"), ["kept"], "{address}");
        }
    }
    assert_eq!(practice.app.store.group(other).await.unwrap().name, "Lighthouse");
    assert_eq!(mara.post("/groups/999").form(&[("name", "x")]).await.status_code(), 404);
}

#[tokio::test]
async fn an_invitation_is_shown_at_once_as_text_and_code_and_opens() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let response = mara.post(&format!("/groups/{group}/invitations")).form(&[("label", "Ines <3")]).await;
    let page = mara.get(&location(&response)).await;
    assert_eq!(texts(&page, ".said").len(), 1);
    assert_eq!(texts(&page, ".invite h3"), ["For Ines <3"]);
    assert_eq!(texts(&page, ".invite .qr svg").len(), 1);
    assert!(!page.text().contains("style="), "the policy forbids styles in the page");
    let address = texts(&page, ".invite code").remove(0);
    assert_eq!(practice.browser().get(path(&address)).await.status_code(), 200);
}

#[tokio::test]
async fn an_invitation_for_nobody_is_asked_again() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let page = mara.post(&format!("/groups/{group}/invitations")).form(&[("label", "  ")]).await;
    assert_eq!((page.status_code().as_u16(), texts(&page, "#label-error").len()), (422, 1));
    assert_eq!(attributes(&page, "#label", "value"), ["  "]);
    assert!(practice.app.store.open_invitations(group, NOW).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_withdrawn_invitation_is_gone_and_only_through_its_own_group() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let (group, other) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
    let link = practice.app.store.invite(group, "Ines", None, NOW).await.unwrap();
    mara.post(&format!("/groups/{other}/invitations/{}/withdraw", link.id)).await;
    assert_eq!(practice.app.store.open_invitations(group, NOW).await.unwrap().len(), 1);
    let response = mara.post(&format!("/groups/{group}/invitations/{}/withdraw", link.id)).await;
    assert_eq!(response.status_code(), 303);
    assert!(practice.app.store.open_invitations(group, NOW).await.unwrap().is_empty());
}

#[tokio::test]
async fn the_coach_sees_kit_limits_and_the_private_note() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    practice.app.store.save_limits(ines, &[Demand::Kneeling], Some("left knee, see <physio>")).await.unwrap();
    let page = mara.get(&format!("/people/{ines}")).await;
    assert_eq!(texts(&page, "h1"), ["Ines"]);
    assert!(texts(&page, ".notice")[0].contains("left knee, see <physio>"));
    assert!(texts(&page, "dd").contains(&"kneeling".to_owned()));
    let coach = practice.coach("Otto").await;
    assert_eq!(mara.get(&format!("/people/{coach}")).await.status_code(), 404);
}

#[tokio::test]
async fn the_coach_sets_the_level() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let address = format!("/people/{ines}/level");
    assert_eq!(mara.post(&address).form(&[("level", "wizard")]).await.status_code(), 400);
    assert_eq!(mara.post(&address).form(&[("level", "advanced")]).await.status_code(), 303);
    assert_eq!(practice.app.store.person(ines).await.unwrap().level, Level::Advanced);
    let page = mara.get(&format!("/people/{ines}")).await;
    assert_eq!(texts(&page, "#level-choice [selected]"), ["advanced"]);
}

#[tokio::test]
async fn a_link_for_a_new_password_is_shown_and_works() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let response = mara.post(&format!("/people/{ines}/password-link")).await;
    let page = mara.get(&location(&response)).await;
    let address = texts(&page, "code").remove(0);
    let set = practice.browser().post(path(&address)).form(&[("password", "salt and rope")]).await;
    assert_eq!(set.status_code(), 303);
    assert!(texts(&mara.get(&format!("/people/{ines}")).await, "code").is_empty(), "a used link is no longer shown");
}

#[tokio::test]
async fn a_member_moves_between_groups() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let (group, other) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
    let ines = practice.member("Ines", group).await;
    let add = format!("/people/{ines}/groups");
    assert_eq!(mara.post(&add).form(&[("group", "999")]).await.status_code(), 404);
    assert_eq!(mara.post(&add).form(&[("group", "x")]).await.status_code(), 400);
    assert_eq!(mara.post(&add).form(&[("group", other.to_string())]).await.status_code(), 303);
    mara.post(&format!("/people/{ines}/groups/{group}/remove")).await;
    let names: Vec<_> = practice.app.store.groups_of(ines).await.unwrap().into_iter().map(|g| g.name).collect();
    assert_eq!(names, ["Lighthouse"]);
}

#[tokio::test]
async fn who_left_is_signed_out_and_can_come_back() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let browser = practice.as_person(ines).await;
    assert_eq!(location(&browser.get("/").await), "/today");
    mara.post(&format!("/people/{ines}/leave")).await;
    assert_eq!(location(&browser.get("/").await), "/sign-in");
    assert_eq!(mara.post(&format!("/people/{ines}/password-link")).await.status_code(), 400);
    assert!(practice.app.store.members_of(group).await.unwrap().is_empty());
    assert_eq!(texts(&mara.get("/groups").await, "#left + ul a"), ["Ines"]);
    mara.post(&format!("/people/{ines}/return")).await;
    assert_eq!(practice.app.store.members_of(group).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_double_tap_invites_once() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let mara = practice.as_coach("Mara").await;
    let id = attributes(&mara.get(&format!("/groups/{group}")).await, "#invite [name=client_id]", "value")[0].clone();
    let form = [("client_id", id.as_str()), ("label", "Ines")];
    let address = format!("/groups/{group}/invitations");
    let (one, two) = tokio::join!(mara.post(&address).form(&form), mara.post(&address).form(&form));
    assert_eq!((one.status_code().as_u16(), two.status_code().as_u16()), (303, 303));
    assert_eq!(practice.app.store.open_invitations(group, NOW).await.unwrap().len(), 1);
}
