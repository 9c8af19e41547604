//! Plans against an independent checker, brute force and published examples.
