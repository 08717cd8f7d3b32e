//! Results that are written by the short way.

use super::*;

#[tokio::test]
async fn one_form_that_comes_twice_at_once_with_other_words_loses_neither() {
    let b = bench().await;
    let (one, two) = (b.result("page-1"), NewResult { score_text: "7:39".to_owned(), ..b.result("page-1") });
    let (one, two) = tokio::join!(b.store.log_result(b.ines, &one, NOW), b.store.log_result(b.ines, &two, NOW));
    assert_eq!(one.unwrap(), two.unwrap(), "one result");
    let results = b.store.results_on(b.ines, DAY).await.unwrap();
    assert_eq!(results.iter().map(|r| r.score_text.as_str()).collect::<Vec<_>>(), ["7:39"]);
    let earlier = b.store.edits_of(results[0].id).await.unwrap();
    assert_eq!(earlier.iter().map(|e| e.before.score_text.as_str()).collect::<Vec<_>>(), ["7:42"]);
}

#[tokio::test]
async fn numbers_are_kept_to_the_last_bit_so_that_the_same_again_is_the_same() {
    let b = bench().await;
    for (n, kg) in [135.0 * 0.453_592_37, 0.1 + 0.2, 1e-7, 123_456.789_012_345_67, f64::MIN_POSITIVE].into_iter().enumerate() {
        let new = NewResult { part: n, load_kg: Some(kg), minutes: Some(kg / 3.0), ..b.result(&format!("page-{n}")) };
        let id = b.store.log_result(b.ines, &new, NOW).await.unwrap();
        assert_eq!(b.store.log_result(b.ines, &new, LATER).await.unwrap(), id);
        let kept = b.store.results_on(b.ines, DAY).await.unwrap().into_iter().find(|r| r.id == id).unwrap();
        assert_eq!((kept.load_kg, kept.minutes), (Some(kg), Some(kg / 3.0)));
        assert_eq!(b.store.edits_of(id).await.unwrap().len(), 0, "{kg}");
    }
}
