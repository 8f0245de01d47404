"""What a whole job becomes on the cutting table: its plates led, laid out, told and written as DXF files."""
