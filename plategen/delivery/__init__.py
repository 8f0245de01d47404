"""Every file of a job rendered, proved, stamped and put in place in one step."""
