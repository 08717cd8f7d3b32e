use super::*;

#[test]
fn the_shipped_library_is_sound() {
    let library = Library::read(include_str!("../../../data/movements.csv")).unwrap();
    assert_eq!(library.all().len(), 264);
}

#[test]
fn a_movement_is_found_by_alias_and_case() {
    assert_eq!(Library::shipped().find("DB Snatch").unwrap().name, "dumbbell snatch");
}

#[test]
fn two_movements_cannot_share_a_name() {
    let mut movements = Library::shipped().all().to_vec();
    let taken = movements[0].name.clone();
    movements[1].aliases.push(taken);
    assert!(Library::new(movements).is_err());
}

#[test]
fn an_easier_movement_must_exist() {
    let mut movements = Library::shipped().all().to_vec();
    movements[0].easier.push("nobody's squat".to_owned());
    assert!(Library::new(movements).is_err());
}
