"""What somebody hostile sends: files, papers, addresses, filters."""
