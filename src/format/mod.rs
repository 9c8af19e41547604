//! Reports to bytes: workbook, CSV, terminal text; one file a format.
