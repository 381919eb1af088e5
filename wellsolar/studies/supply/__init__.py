"""The pump's array and battery through the year, and what a full battery leaves."""
