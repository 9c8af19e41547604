//! Packings and bar plans against an independent checker, brute force and published examples.
