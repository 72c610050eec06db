"""What stands between the planner and plugins from outside: what they answer is checked first."""
