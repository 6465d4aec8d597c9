"""What the service tells its operators: log lines and metrics. Imports nothing of ours."""
