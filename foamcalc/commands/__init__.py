"""What can be asked on the command line, one module a command."""
