//! The command line: arguments, one file a command, messages, exit codes; the only module that prints.
