//! The command line of Dowel.

fn main() {}
