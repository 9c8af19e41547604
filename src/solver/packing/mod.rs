//! Packs lengths into as few bins as possible.
