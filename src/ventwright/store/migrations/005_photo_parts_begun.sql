-- When the first piece of a picture came: of those that never became whole the oldest are let go of.
alter table photo_part add column begun text not null default '';
