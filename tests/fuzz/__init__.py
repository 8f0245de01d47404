"""Broken inputs by the million: whatever comes in, a value or one clear line comes out, and nothing else happens."""
