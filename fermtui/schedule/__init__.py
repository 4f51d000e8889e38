"""What is due: the shared engine that turns facts, a schedule and a clock into tasks."""
