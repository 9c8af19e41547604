//! Bytes of CSV files, workbooks and TOML files to tables and documents whose every cell and key knows its place.
