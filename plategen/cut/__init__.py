"""What the cutting table gets: contours, kerf, leads, scribed lines, the DXF files and what the work comes to."""
