-- Class of the landing among the athlete's own; null for jumps that were stored before there were classes.
alter table jumps add column landing_class text;

-- Everything that the warnings were judged by, in the order and at the times it was judged: a restart judges it again and comes to the same.
create table warning_inputs (
    number bigint not null primary key,
    at_us bigint not null,
    kind $id$ not null,
    athlete $id$ not null,
    body text not null
);
create index warning_inputs_time on warning_inputs (at_us, number);
