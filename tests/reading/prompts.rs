//! What a member is asked to type fits the part: no example would be asked about or doubted.

use crate::corpus::texts;
use dowel::training::movement::Library;
use dowel::training::score::{ScoreRules, prompt, read};
use dowel::training::writeup;

#[test]
fn every_example_of_every_part_of_the_corpus_is_a_result_that_nobody_would_doubt() {
    let library = Library::shipped();
    let (mut wrong, mut asked) = (Vec::new(), 0);
    for path in texts("tests/data/sessions") {
        let session = writeup::read(&std::fs::read_to_string(&path).unwrap(), library);
        for part in &session.parts {
            let rules = ScoreRules::of(part, library);
            let Some(prompt) = prompt(part, &rules, library) else { continue };
            asked += 1;
            for example in &prompt.examples {
                let clear = read(part.score, example, &rules).is_ok_and(|r| r.held.is_none() && r.doubt.is_none());
                if !clear {
                    wrong.push(format!("{}, {}: {example}", path.display(), part.name));
                }
            }
        }
    }
    assert!(asked > 50, "there are scored parts");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
