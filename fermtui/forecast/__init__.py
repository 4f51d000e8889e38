"""What will happen: an honest interval for every gravity still to come."""
