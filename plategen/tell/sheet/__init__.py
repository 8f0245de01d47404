"""The shop sheet and the report, the same numbers in words and as data."""
