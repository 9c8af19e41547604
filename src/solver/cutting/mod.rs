//! Cuts rectangles from stock sheets and rolls with guillotine cuts.
