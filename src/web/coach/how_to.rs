//! How to write a session: examples, each with what is understood of it, read while the page is made.

use super::reading::Reading;
use crate::store::weeks::Intents;
use crate::web::App;
use crate::web::access::Staff;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::response::{IntoResponse, Response};

#[derive(Template, WebTemplate)]
#[template(path = "coach/how_to.html")]
struct HowToPage {
    frame: Frame,
    examples: Vec<Shown>,
}

struct Shown {
    title: &'static str,
    words: &'static str,
    text: &'static str,
    reading: Reading,
}

struct Example {
    title: &'static str,
    words: &'static str,
    text: &'static str,
}

/// Every example must be read without a problem; a test holds them to it.
const EXAMPLES: [Example; 8] = [
    Example {
        title: "Parts and lines",
        words: "A heading makes a part; every movement stands on its own line with how much of it. An empty line helps, a letter may.",
        text: "Tide table\n\nWarm-up, 2 rounds\n10 air squats\n10 glute bridges\n30 s plank\n\nCool-down\nchild's pose 60 s\n",
    },
    Example {
        title: "Sets, load, tempo and rest",
        words: "Sets by reps, then the load after @: in kg or lb (two columns, the heavier first), as a percent, as RPE, or as reps in reserve.",
        text: "A. Romanian deadlift\n4x6 @ 40/25 kg, tempo 31X1, rest 90 s\n\nB. Goblet squat\n3 x 10 @ RPE 7, rest 60 s\n",
    },
    Example {
        title: "For time, with a cap",
        words: "Rounds and a cap. What is scored follows from the format; you can also write it.",
        text: "C. For time, 3 rounds, cap 12:00\n10 push-ups\n15 air squats\n20 mountain climbers, total\n",
    },
    Example {
        title: "As many rounds as possible",
        words: "AMRAP and its minutes, in any order.",
        text: "12 min AMRAP\n6 push-ups\n8 reverse lunges, alternating\n10 air squats\n",
    },
    Example {
        title: "By the clock",
        words: "Every minute, every so often, or work and rest.",
        text: "EMOM 10\n8 kettlebell swings @ 16/12 kg\n\n30 s on / 30 s off x 8\nair squats\n",
    },
    Example {
        title: "Sides",
        words: "Each side and per side count for one side; alternating and total are the whole count.",
        text: "Accessory\n3 x 12 single-arm row, each side, rest 60 s\n",
    },
    Example {
        title: "Short forms",
        words: "The usual short forms are understood, in any case and spelling. A name that Dowel does not know is asked about, never guessed.",
        text: "A. DB RDL\n3x10 w/ 20/15 kg, tempo 311, rest 90 s\n\n5 RFT, cap 15\n12 T2B\n15 KB swings @ 24/16 kg\n",
    },
    Example {
        title: "A shorter version",
        words: "Write it under the part. Members choose it, and the board keeps the versions apart.",
        text: "For time, cap 10:00\n100 air squats\nor shorter: 80\n",
    },
];

/// `GET /how-to-write`
///
/// # Errors
/// Only the store's own.
pub async fn show_how_to(State(app): State<App>, Staff(coach): Staff) -> Result<Response, Error> {
    let library = app.library();
    let shown = |e: &Example| Shown {
        title: e.title,
        words: e.words,
        text: e.text,
        reading: Reading::of(e.text, &Intents::new(), &library),
    };
    let examples = EXAMPLES.iter().map(shown).collect();
    Ok(HowToPage { frame: Frame::of(&coach, "How to write a session", "week"), examples }.into_response())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::movement::Library;

    #[test]
    fn every_example_is_read_without_a_problem() {
        for e in &EXAMPLES {
            let reading = Reading::of(e.text, &Intents::new(), Library::shipped());
            let problems: Vec<&str> = reading.problems.iter().map(|p| p.text.as_str()).collect();
            assert!(problems.is_empty(), "{}: {problems:?}", e.title);
            assert!(!reading.parts.is_empty(), "{}", e.title);
            assert!(reading.parts.iter().all(|p| !p.lines.is_empty() && p.lines.iter().all(|l| l.known)), "{}", e.title);
        }
    }

    #[test]
    fn the_shorter_version_is_shown_as_an_option() {
        let e = EXAMPLES.iter().find(|e| e.text.contains("or shorter")).unwrap();
        let reading = Reading::of(e.text, &Intents::new(), Library::shipped());
        let (name, words) = &reading.parts[0].options[0];
        assert!(name.contains("shorter"), "{name}");
        assert_eq!(words, "80 reps");
    }
}
