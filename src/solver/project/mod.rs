//! Schedules projects with shared resources and integer times, without calendars.
