//! States and solves mixed-integer linear programs.
