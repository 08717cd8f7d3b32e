//! Tables against RFC 4180, "Common Format and MIME Type for CSV Files", section 2. The records in `rfc4180_checks.csv` follow its
//! rules, and were also written with Python's csv module.

use dowel::web::data::sheet;

const CHECKS: &str = include_str!("data/rfc4180_checks.csv");

fn checks() -> Vec<(Vec<String>, String)> {
    let check = |row: &std::collections::HashMap<String, String>| {
        let fields = serde_json::from_str(&row["fields_json"]).unwrap();
        (fields, row["record_escaped"].replace("\\r", "\r").replace("\\n", "\n"))
    };
    super::rows(CHECKS).iter().map(check).collect()
}

fn read(text: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().next().unwrap().unwrap().iter().map(str::to_owned).collect()
}

/// The record that we write for these cells, after a head of three.
fn written(fields: &[String]) -> String {
    let table = sheet::csv(&["a", "b", "c"], [fields]).unwrap();
    table.strip_prefix("a,b,c\r\n").unwrap().to_owned()
}

#[test]
fn records_of_the_standard_are_read_and_written() {
    let checks = checks();
    assert!(checks.len() >= 7, "{} rows", checks.len());
    for (fields, record) in &checks {
        assert_eq!(&read(record), fields);
        assert!(written(fields).ends_with("\r\n"));
        // a cell that a spreadsheet would take for a formula is changed on purpose
        let safe: Vec<String> = fields.iter().map(|f| sheet::safe(f).into_owned()).collect();
        assert_eq!(read(&written(fields)), safe);
    }
}

#[test]
fn only_what_could_be_a_formula_is_changed() {
    let changed: Vec<Vec<String>> =
        checks().into_iter().map(|(fields, _)| fields).filter(|f| f.iter().any(|c| sheet::safe(c) != *c)).collect();
    assert_eq!(changed, [["=1+1", "-2", "@x"]]);
    assert_eq!(read(&written(&changed[0])), ["'=1+1", "-2", "'@x"]);
}
