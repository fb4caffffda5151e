"""Tables that leave for a spreadsheet and come back: cells, comma files, workbooks."""
