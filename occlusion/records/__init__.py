"""Settings of the articulator worked out backwards: from check records, gaps and contacts."""
