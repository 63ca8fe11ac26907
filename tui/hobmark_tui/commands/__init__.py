"""The command line, one file a group of commands. Standard output is data, standard error is for people."""
