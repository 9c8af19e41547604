//! Published instances.
fn main() {}
