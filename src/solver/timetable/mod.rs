//! Places tasks on working calendars with people, equipment, lags and limits.
