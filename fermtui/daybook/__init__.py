"""What has been written down: files in, records out."""
