module coldstart

go 1.26
