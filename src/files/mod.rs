//! The only module that touches the disk.
