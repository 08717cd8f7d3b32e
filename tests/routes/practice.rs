//! A fresh practice for one test: its own folder, its own clock, browsers that keep cookies.

use axum_test::{TestResponse, TestServer};
use dowel::clock::Clock;
use dowel::config::Config;
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::people::{NewPerson, Role, Units};
use dowel::training::calendar::Zone;
use dowel::web::{App, access, routes};
use scraper::{Html, Selector};
use time::OffsetDateTime;
use time::macros::datetime;

/// A Wednesday, noon in Lisbon and London.
pub const NOW: OffsetDateTime = datetime!(2026-11-25 12:00 UTC);
pub const PASSWORD: &str = "driftwood and tar";

pub struct Practice {
    pub app: App,
    _folder: tempfile::TempDir,
}

impl Practice {
    pub async fn new() -> Self {
        Self::with(Config::default()).await
    }

    /// A practice that people reach at this address.
    pub async fn at(address: &str) -> Self {
        Self::with(Config { address: Some(address.to_owned()), ..Config::default() }).await
    }

    /// A practice with these settings, in a folder of its own.
    pub async fn with(settings: Config) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let config = Config { data: folder.path().to_owned(), upload_mb: 5, log: "off".to_owned(), ..settings };
        let app = App::open(config, Clock::standing(NOW)).await.unwrap();
        Self { app, _folder: folder }
    }

    /// A browser that keeps its cookies; nobody is signed in.
    pub fn browser(&self) -> TestServer {
        TestServer::builder().save_cookies().build(routes::router(self.app.clone()))
    }

    async fn person(&self, role: Role, name: &str, zone: &str) -> PersonId {
        let new = NewPerson {
            role,
            sign_in: format!("{}@example.org", name.to_lowercase()),
            name: name.to_owned(),
            password_hash: None,
            zone: Zone::named(zone).unwrap(),
            units: Units::Kg,
        };
        self.app.store.add_person(&new, NOW).await.unwrap()
    }

    pub async fn coach(&self, name: &str) -> PersonId {
        self.person(Role::Coach, name, "Europe/London").await
    }

    /// A browser in which a new coach is signed in.
    pub async fn as_coach(&self, name: &str) -> TestServer {
        let id = self.coach(name).await;
        self.as_person(id).await
    }

    /// A member of the group who has been through joining.
    pub async fn member(&self, name: &str, group: GroupId) -> PersonId {
        self.member_in(name, group, "Europe/London").await
    }

    pub async fn member_in(&self, name: &str, group: GroupId, zone: &str) -> PersonId {
        let id = self.person(Role::Member, name, zone).await;
        self.app.store.join_group(group, id, NOW).await.unwrap();
        self.app.store.accept_cautions(id, access::CAUTIONS_VERSION, NOW).await.unwrap();
        id
    }

    /// A member who has a password and has been through no step of joining.
    pub async fn newcomer(&self, name: &str) -> PersonId {
        self.person(Role::Member, name, "Europe/London").await
    }

    pub async fn group(&self, name: &str) -> GroupId {
        self.app.store.add_group(name, "", NOW).await.unwrap()
    }

    /// A browser in which this person is signed in.
    pub async fn as_person(&self, id: PersonId) -> TestServer {
        let browser = self.browser();
        let link = self.app.store.password_link(id, None, NOW).await.unwrap();
        let address = self.app.links.password_address(link);
        let path = address.strip_prefix(&self.app.config.public_address()).unwrap();
        let response = browser.post(path).form(&[("password", PASSWORD)]).await;
        assert_eq!(response.status_code(), 303);
        browser
    }
}

impl Practice {
    /// The cookie with which a fresh browser of this person is signed in.
    pub async fn cookie_of(&self, id: PersonId) -> String {
        let link = self.app.store.password_link(id, None, NOW).await.unwrap();
        let address = self.app.links.password_address(link);
        let response = self.browser().post(path(&address)).form(&[("password", PASSWORD)]).await;
        let cookie = response.headers().get("set-cookie").unwrap().to_str().unwrap();
        cookie.split(';').next().unwrap().to_owned()
    }
}

/// The path of an address of this practice.
pub fn path(address: &str) -> &str {
    address.strip_prefix("http://127.0.0.1:8420").unwrap()
}

/// Texts of every element that fits, white space folded.
pub fn texts(response: &TestResponse, selector: &str) -> Vec<String> {
    let page = Html::parse_document(&response.text());
    let fold = |e: scraper::ElementRef<'_>| e.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ");
    page.select(&Selector::parse(selector).unwrap()).map(fold).collect()
}

/// An attribute of every element that fits.
pub fn attributes(response: &TestResponse, selector: &str, name: &str) -> Vec<String> {
    let page = Html::parse_document(&response.text());
    page.select(&Selector::parse(selector).unwrap()).filter_map(|e| e.value().attr(name).map(str::to_owned)).collect()
}

/// Where a redirect leads.
pub fn location(response: &TestResponse) -> String {
    response.headers().get("location").and_then(|v| v.to_str().ok()).unwrap_or_default().to_owned()
}
