"""The papers, the record, the chart copy, the calendar, and the folder they go into."""
